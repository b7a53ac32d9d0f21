/**
 * `npm run bench:fuzz [-- --cases N] [--seed N]`
 * Spoils files of every importer in 100,000 ways altogether and counts what ends in a crash or does
 * not end. The last line is one JSON object.
 */
import { once } from "node:events";
import { parseArgs } from "node:util";
import { Worker } from "node:worker_threads";
import type { FuzzOrder } from "../fuzz/fuzz-thread.ts";
import { importers } from "../fuzz/importers.ts";
import type { Tally } from "../fuzz/run-importer.ts";

/** A file that keeps an importer busy for longer than this counts as a hang. */
const patienceMs = 30_000;

const { values } = parseArgs({
  options: {
    cases: { type: "string", default: "100000" },
    seed: { type: "string", default: "1" },
  },
});
const wanted = Number(values.cases);
const shares = importers.reduce((sum, { share }) => sum + share, 0);

/** Null where it hangs. */
async function run(name: string, cases: number): Promise<Tally | null> {
  const begun = new SharedArrayBuffer(4);
  const order: FuzzOrder = { name, cases, seed: Number(values.seed), begun };
  const worker = new Worker(new URL("../../workers/node/node-thread.mjs", import.meta.url), {
    workerData: { module: "../../tests/fuzz/fuzz-thread.ts", order },
    execArgv: [],
  });
  const counter = new Int32Array(begun);
  let seen = -1;
  let since = performance.now();
  const watch = new AbortController();
  const hung = new Promise<null>((resolve) => {
    const timer = setInterval(() => {
      const now = Atomics.load(counter, 0);
      if (now !== seen) {
        seen = now;
        since = performance.now();
      } else if (now > 0 && performance.now() - since > patienceMs) {
        resolve(null);
      }
    }, 500);
    watch.signal.addEventListener("abort", () => clearInterval(timer));
  });
  try {
    const ended = once(worker, "message").then(([tally]) => tally as Tally);
    return await Promise.race([ended, hung]);
  } finally {
    watch.abort();
    await worker.terminate();
  }
}

let cases = 0;
let hangs = 0;
let crashes = 0;
for (const { name, share } of importers) {
  const tally = await run(name, Math.ceil((wanted * share) / shares));
  if (!tally) {
    hangs++;
    console.log(`${name.padEnd(18)} HANGS`);
    continue;
  }
  cases += tally.cases;
  crashes += tally.crashes.length;
  console.log(
    `${name.padEnd(18)} ${String(tally.cases).padStart(6)} files, ${tally.taken} taken, ` +
      `${tally.crashes.length} crashes, slowest ${tally.slowestMs.toFixed(0)} ms`,
  );
  for (const { message, file } of tally.crashes.slice(0, 3)) console.log(`  ${message}\n  ${file}`);
}
console.log(JSON.stringify({ cases, crashes, hangs }));
process.exitCode = crashes + hangs > 0 ? 1 : 0;
