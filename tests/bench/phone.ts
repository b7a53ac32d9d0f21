/**
 * `npm run bench:phone`: random bays photographed with random phones (tests/tools/phone), through
 * camera step and job to the checks, laid beside the truth. Plates and target are exact, so that the
 * camera's share of the error stands alone. Works in two processes. Rendered pictures are kept in
 * .cache/bench-phone (some 20 MB a bay).
 *
 * Options: --bays N (default 60), --seed S (first bay), --seeds 1-8,11 (these bays instead), --corners-only (traced places of the corners
 * with noise instead of pixels: fast, for what stands behind detection), --no-bump, --list (one line
 * per bay), --no-ratio (does not solve a second time without motion model, stretch and rest of the
 * lens), --two-phones (every other photo is taken with a second phone, which has a lens of its own;
 * corners only), --without motion,stretch,bend,lens,focus (leaves parts of the physics out). The last
 * line is one JSON object.
 */
import { fork } from "node:child_process";
import { fileURLToPath } from "node:url";
import { parseArgs } from "node:util";
import { drawSession, parts } from "../tools/phone/session.ts";
import { type Judged, judge } from "./phone/judge.ts";
import { type Finders, loadFinders, pictureViews } from "./phone/pictures.ts";
import { printReport, summary } from "./phone/report.ts";
import { tracedViews } from "./phone/traced.ts";

const { values: options } = parseArgs({
  options: {
    bays: { type: "string", default: "60" },
    seed: { type: "string", default: "1" },
    seeds: { type: "string", default: "" },
    "corners-only": { type: "boolean", default: false },
    "no-bump": { type: "boolean", default: false },
    "no-ratio": { type: "boolean", default: false },
    "two-phones": { type: "boolean", default: false },
    without: { type: "string", default: "" },
    list: { type: "boolean", default: false },
    child: { type: "boolean", default: false },
  },
});

if (options["two-phones"] && !options["corners-only"]) {
  console.error("--two-phones goes with --corners-only: pictures are rendered for one phone.");
  process.exit(2);
}

const judgeSeed = (seed: number, finders: Finders | null): Judged => {
  const session = drawSession(seed, {
    ...(options["no-bump"] ? { bumpMm: 0 } : {}),
    secondPhone: options["two-phones"],
    without: parts.filter((part) => options.without.split(",").includes(part)),
  });
  const label = `${options.without && `-without-${options.without}`}${options["no-bump"] ? "-no-bump" : ""}`;
  const views = finders ? pictureViews(session, label, finders) : tracedViews(session);
  return judge(session, views, !options["no-ratio"] && !options["two-phones"]);
};

const line = (job: Judged): string => {
  if (job.refused) return `bay ${job.seed}: refused: ${job.refused}`;
  const { ahead, left, yaw } = job.checks;
  const show = (e: typeof ahead, digits: number): string =>
    `${e.error.toFixed(digits)} (+- ${e.expanded.toFixed(digits)})`;
  return (
    `bay ${job.seed}: ahead ${show(ahead, 3)} left ${show(left, 3)} yaw ${show(yaw, 4)}` +
    ` variance ${job.varianceFactor.toFixed(2)} remarks ${job.falseRemarks.length} ${job.sentence}`
  );
};

/** A child answers one seed after the other. */
const serve = async (): Promise<void> => {
  const finders = options["corners-only"] ? null : await loadFinders();
  process.on("message", (seed: number) => {
    try {
      process.send!(judgeSeed(seed, finders));
    } catch (error) {
      console.error(`bay ${seed}`, error);
      process.exit(1);
    }
  });
};

const wantedSeeds = (): number[] => {
  const range = (first: number, count: number) =>
    Array.from({ length: count }, (_, i) => first + i);
  if (!options.seeds) return range(Number(options.seed), Number(options.bays));
  return options.seeds.split(",").flatMap((part) => {
    const [first, last = first] = part.split("-").map(Number);
    return range(first, last - first + 1);
  });
};

const lead = async (): Promise<void> => {
  const seeds = wantedSeeds();
  const judged: Judged[] = [];
  let next = 0;
  const lane = (): Promise<void> =>
    new Promise((resolve, reject) => {
      const child = fork(fileURLToPath(import.meta.url), [...process.argv.slice(2), "--child"]);
      const ask = (): void => {
        if (next < seeds.length) child.send(seeds[next++]);
        else child.kill();
      };
      child.on("message", (job: Judged) => {
        judged.push(job);
        if (options.list) console.log(line(job));
        ask();
      });
      child.on("exit", (code) => (code ? reject(new Error(`exit ${code}`)) : resolve()));
      ask();
    });
  await Promise.all([lane(), lane()]);
  judged.sort((a, b) => a.seed - b.seed);
  printReport(judged);
  console.log(JSON.stringify(summary(judged)));
};

if (options.child) await serve();
else await lead();
