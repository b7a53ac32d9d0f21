/**
 * `npm run bench:accept`: simulated shops accept their own phones (tests/bench/accept). Half of them
 * are in order; the others have a bad phone, print or tape. Corners are traced with noise instead of
 * pixels. A pass is false where a length that was measured is truly off by more than its limit; a fail
 * is false where none is. Works in two processes. The decision alone is then repeated for many thousand
 * shops without photos (accept/decisions.ts).
 *
 * Options: --jobs N (default 80), --seed S (first shop), --quick (10 shops), --list (a line per shop),
 * --pixels (grey photos of half the width through the product's finder, sound shops only: slow).
 * The last line is one JSON object.
 */
import { fork } from "node:child_process";
import { fileURLToPath } from "node:url";
import { parseArgs } from "node:util";
import { decideMany } from "./accept/decisions.ts";
import { type JudgedShop, judgeShop, tracedShop } from "./accept/judge-shop.ts";
import { pixelShop, withSmallerPhotos } from "./accept/pixels.ts";
import { printShops, summary } from "./accept/report.ts";
import { drawShop, type Fault, faults } from "./accept/shop.ts";
import { loadFinders } from "./phone/pictures.ts";

const { values: options } = parseArgs({
  options: {
    jobs: { type: "string", default: "80" },
    seed: { type: "string", default: "1" },
    quick: { type: "boolean", default: false },
    pixels: { type: "boolean", default: false },
    list: { type: "boolean", default: false },
    child: { type: "boolean", default: false },
  },
});

/** Every second shop is in order; the faults take turns. */
const faultOf = (seed: number): Fault =>
  seed % 2 === 0 ? "none" : faults[1 + (((seed - 1) / 2) % (faults.length - 1))];

/** Photos that are rendered are half as wide, as many as a test needs, and of shops in order. */
const rendered = { share: 0.5, photos: 10 } as const;

const serve = async (): Promise<void> => {
  const finders = options.pixels ? await loadFinders() : null;
  const judged = (seed: number): JudgedShop => {
    if (finders) {
      const shop = withSmallerPhotos(drawShop(seed, "none", rendered.photos), rendered.share);
      return judgeShop(shop, pixelShop(shop, finders));
    }
    const shop = drawShop(seed, faultOf(seed));
    return judgeShop(shop, tracedShop(shop));
  };
  process.on("message", (seed: number) => {
    try {
      process.send!(judged(seed));
    } catch (error) {
      console.error(`shop ${seed}`, error);
      process.exit(1);
    }
  });
};

const lead = async (): Promise<void> => {
  const jobs = options.quick ? 10 : Number(options.jobs);
  const first = Number(options.seed);
  const judged: JudgedShop[] = [];
  let next = 0;
  const lane = (): Promise<void> =>
    new Promise((resolve, reject) => {
      const child = fork(fileURLToPath(import.meta.url), [...process.argv.slice(2), "--child"]);
      const ask = (): void => {
        if (next < jobs) child.send(first + next++);
        else child.kill();
      };
      child.on("message", (shop: JudgedShop) => {
        judged.push(shop);
        if (options.list)
          console.log(
            JSON.stringify({
              ...shop,
              trueErrors: undefined,
              normalised: undefined,
              worst: Math.max(...shop.trueErrors.map(Math.abs)),
            }),
          );
        ask();
      });
      child.on("exit", (code) => (code ? reject(new Error(`exit ${code}`)) : resolve()));
      ask();
    });
  await Promise.all([lane(), lane()]);
  judged.sort((a, b) => a.seed - b.seed);
  printShops(judged);
  const decided = decideMany(options.quick ? 2000 : 20_000);
  console.log(
    `decision alone: ${decided.jobs} shops, ${decided.passed} pass, ${decided.failed} fail; false pass ` +
      `${decided.falsePass}, false fail ${decided.falseFail}`,
  );
  console.log(
    JSON.stringify({
      ...summary(judged),
      decided: decided.jobs,
      decided_false_pass: decided.falsePass / decided.jobs,
      decided_false_fail: decided.falseFail / decided.jobs,
    }),
  );
};

if (options.child) await serve();
else await lead();
