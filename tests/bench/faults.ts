/**
 * `npm run bench:faults`: every fault of tests/faults at several strengths in several random bays,
 * through camera step and job to the verdict, laid beside the truth. Says per fault whether it was
 * named, refused or not proven without naming it, harmless, or silent and wrong. Works in two
 * processes; says what the jobs took of one core and at which commit they ran. The last line is one JSON object.
 *
 * Options: --bays N (default 4), --seed S (first bay), --fault NAME,NAME (these only),
 * --family NAME, --clean (bays without any fault only: how often a verdict is held back for nothing), --quick (one bay, strongest only), --full (the phone's whole physics instead of a
 * still phone with a plain lens), --sentences (prints what is said), --save FILE (appends what came
 * out of every job, a line each; jobs that stand there already are not run again), --judge (runs
 * nothing, judges the saved jobs), --seconds N (begins no further job after so long: a piece of a
 * grid; the strongest of all faults come first), --significant FILE (only faults and strengths that did damage in
 * the saved jobs of FILE).
 */
import { execFileSync, fork } from "node:child_process";
import { appendFileSync, existsSync, readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { parseArgs } from "node:util";
import { drawCase } from "../faults/case.ts";
import { catalogue } from "../faults/catalogue.ts";
import { internalNamesIn } from "../faults/internal-names.ts";
import { type Facts, type Judged, judged as judgedBy, runFault } from "../faults/judge.ts";
import { runPictureFault } from "../faults/picture-job.ts";

const { values: options } = parseArgs({
  options: {
    bays: { type: "string", default: "4" },
    seed: { type: "string", default: "1" },
    fault: { type: "string" },
    family: { type: "string" },
    clean: { type: "boolean", default: false },
    quick: { type: "boolean", default: false },
    full: { type: "boolean", default: false },
    sentences: { type: "boolean", default: false },
    save: { type: "string" },
    judge: { type: "boolean", default: false },
    significant: { type: "string" },
    seconds: { type: "string" },
    child: { type: "boolean", default: false },
  },
});

interface Task {
  readonly fault: string | null;
  readonly strength: number;
  readonly seed: number;
}

const tasks = (): Task[] => {
  const seeds = Array.from(
    { length: options.quick ? 1 : Number(options.bays) },
    (_, i) => Number(options.seed) + i,
  );
  const chosen = catalogue.filter(
    ({ name, family }) =>
      !options.clean &&
      (!options.fault || options.fault.split(",").includes(name)) &&
      (!options.family || family === options.family),
  );
  if (chosen.length === 0 && !options.clean)
    throw new Error(`No fault is called "${options.fault ?? options.family}".`);
  const damage = new Set(
    savedIn(options.significant)
      .filter((facts) => judgedBy(faultOf(facts.fault), facts).significant)
      .map(({ fault, strength }) => `${fault} ${strength}`),
  );
  const asked = (name: string, strength: number): boolean =>
    !options.significant || damage.has(`${name} ${strength}`);
  // Altered photos are those of the one sample job.
  const inBay = (seed: number) =>
    chosen.filter(({ picture }) => !picture || (seed === seeds[0] && !options.significant));
  const grid = seeds.flatMap((seed) => [
    { fault: null, strength: 0, seed, weaker: 0 },
    ...inBay(seed).flatMap(({ name, strengths }) =>
      (options.quick ? strengths.slice(-1) : strengths)
        .filter((strength) => asked(name, strength))
        .map((strength, i, all) => ({ fault: name, strength, seed, weaker: all.length - 1 - i })),
    ),
  ]);
  return grid
    .sort((a, b) => a.weaker - b.weaker)
    .map(({ fault, strength, seed }) => ({ fault, strength, seed }));
};

const faultOf = (name: string | null) => catalogue.find((fault) => fault.name === name) ?? null;

const run = async ({ fault: name, strength, seed }: Task): Promise<Facts> => {
  const physics = options.full ? "full" : "plain";
  const fault = faultOf(name);
  return fault?.picture
    ? runPictureFault(fault, strength)
    : runFault(drawCase(seed, physics), fault, strength, `${seed} ${physics}`);
};

/** A job as it is kept: what came out, what it took of one core, which sources it ran from. */
interface Kept extends Facts {
  readonly cpuMs: number;
  readonly commit: string;
}

/** Jobs that were run before. */
const savedIn = (file: string | undefined): Kept[] =>
  file && existsSync(file)
    ? readFileSync(file, "utf8")
        .split("\n")
        .filter(Boolean)
        .map((line) => JSON.parse(line))
    : [];

/** The sources at work; a plus where something is not committed. */
const commitNow = (): string => {
  const git = (...words: string[]) => execFileSync("git", words, { encoding: "utf8" }).trim();
  const changed = git("status", "--porcelain", "--untracked-files=no") !== "";
  return git("rev-parse", "--short", "HEAD") + (changed ? "+" : "");
};

const keyOf = ({ fault, strength, seed }: Task | Facts): string =>
  `${fault ?? "none"} ${strength} ${seed}`;

/** A child answers one task after the other. */
const serve = (): void => {
  const commit = commitNow();
  process.on("message", (task: Task) => {
    const before = process.cpuUsage();
    const cpuMs = (): number => {
      const { user, system } = process.cpuUsage(before);
      return Math.round((user + system) / 1000);
    };
    run(task).then(
      (facts) => process.send!({ ...facts, cpuMs: cpuMs(), commit } satisfies Kept),
      (error) => {
        console.error(task, error);
        process.exit(1);
      },
    );
  });
};

const kinds = ["named", "unnamed, safe", "harmless", "silent and wrong"] as const;

const report = (judged: readonly Judged[]): void => {
  console.log(
    "fault                            strength  named  safe  harmless  silent+wrong  worst error / U",
  );
  for (const { name, strengths } of catalogue)
    for (const strength of strengths) {
      const runs = judged.filter((one) => one.fault === name && one.strength === strength);
      if (runs.length === 0) continue;
      const counts = kinds.map((kind) => runs.filter((one) => one.kind === kind).length);
      const worst = Math.max(...runs.map((one) => one.worst));
      console.log(
        `${name.padEnd(33)}${String(strength).padEnd(9)} ${counts.map((n) => String(n).padStart(6)).join(" ")}   ${worst.toFixed(2)}`,
      );
    }
};

const list = (one: Judged): void => {
  const held = one.heldBack.length > 0 ? ` (held back by ${one.heldBack.join(" ")})` : "";
  const codes = [...new Set(one.remarks.map(({ code }) => code))].join(" ");
  console.log(
    `${one.fault} ${one.strength} bay ${one.seed}: ${one.kind}, ${one.outcome}${held}, worst ${one.worst.toFixed(2)}; ${codes}`,
  );
  if (options.sentences) for (const sentence of sentencesOf(one)) console.log(`    ${sentence}`);
};

const sentencesOf = ({ remarks }: Judged): string[] =>
  remarks.flatMap(({ message, remedy }) => [message, remedy]);

/** How often each word stands in a list. */
const countOf = (words: readonly string[]): Record<string, number> => {
  const counts: Record<string, number> = {};
  for (const word of words) counts[word] = (counts[word] ?? 0) + 1;
  return counts;
};

const summary = (judged: readonly Judged[]) => {
  const faulty = judged.filter(({ fault }) => fault !== "none");
  const of = (kind: Judged["kind"]) => faulty.filter((one) => one.kind === kind).length;
  const significant = faulty.filter((one) => one.significant);
  const named = significant.filter((one) => one.kind === "named").length;
  const clean = judged.filter(({ fault }) => fault === "none");
  return {
    faults: new Set(faulty.map(({ fault }) => fault)).size,
    runs: faulty.length,
    named: of("named"),
    unnamed_safe: of("unnamed, safe"),
    harmless: of("harmless"),
    silent_wrong: of("silent and wrong"),
    significant: significant.length,
    significant_named: Number((named / Math.max(1, significant.length)).toFixed(3)),
    clean_runs: clean.length,
    clean_all_meet: clean.filter(({ outcome }) => outcome === "all meet").length,
    clean_held_back: countOf(clean.flatMap(({ heldBack }) => [...new Set(heldBack)])),
    sentences_with_internal_names: judged.flatMap((one) =>
      sentencesOf(one).flatMap(internalNamesIn),
    ).length,
  };
};

const lead = async (): Promise<void> => {
  const before = new Map(savedIn(options.save).map((facts) => [keyOf(facts), facts]));
  const wanted = tasks();
  const waiting = options.judge ? [] : wanted.filter((task) => !before.has(keyOf(task)));
  const judged = wanted.flatMap((task) => {
    const facts = before.get(keyOf(task));
    return facts ? [judgedBy(faultOf(facts.fault), facts)] : [];
  });
  for (const one of judged) list(one);
  const end = options.seconds ? performance.now() + 1000 * Number(options.seconds) : null;
  const lane = (): Promise<void> =>
    new Promise((resolve, reject) => {
      const child = fork(fileURLToPath(import.meta.url), [...process.argv.slice(2), "--child"]);
      const ask = (): void => {
        const task = end !== null && performance.now() > end ? undefined : waiting.shift();
        if (task) child.send(task);
        else child.kill();
      };
      child.on("message", (facts: Kept) => {
        before.set(keyOf(facts), facts);
        if (options.save) appendFileSync(options.save, `${JSON.stringify(facts)}\n`);
        const one = judgedBy(faultOf(facts.fault), facts);
        judged.push(one);
        list(one);
        ask();
      });
      child.on("exit", (code) => (code ? reject(new Error(`exit ${code}`)) : resolve()));
      ask();
    });
  await Promise.all([lane(), lane()]);
  report(judged);
  for (const sentence of judged.flatMap(sentencesOf))
    for (const found of internalNamesIn(sentence))
      console.log(`internal name "${found}": ${sentence}`);
  const kept = wanted.flatMap((task) => before.get(keyOf(task)) ?? []);
  console.log(
    JSON.stringify({
      ...summary(judged),
      commits: [...new Set(kept.map(({ commit }) => commit))],
      core_minutes: Number((kept.reduce((sum, { cpuMs }) => sum + cpuMs, 0) / 60000).toFixed(1)),
    }),
  );
};

if (options.child) serve();
else await lead();
