/**
 * `npm run bench:coverage`: do the stated intervals hold the truth as often as they say?
 * Simulates complete jobs (see coverage-job.ts) in two processes. Options: --jobs N (default 5000),
 * --minutes M (ends after about M minutes with the jobs done by then; 8 ends within 10 on a loaded
 * machine), --hand (photos taken by a trembling hand, its motion estimated and settled).
 */
import { fork } from "node:child_process";
import { fileURLToPath } from "node:url";
import { cholesky, solveLower } from "../../src/maths/dense.ts";
import { chiSquareQuantile, normalCdf } from "../../src/maths/statistics.ts";
import { measures, runJob } from "./coverage-job.ts";

/** Tolerance of the check that is judged: offset from the thrust line, as far from its required
 * value as a stand may be; the true deviation is spread evenly over +-40 mm. */
const toleranceMm = 18;
const rangeMm = 40;
const judged = 1;

interface Tally {
  jobs: number;
  skipped: number;
  failed: string[];
  inside: number[];
  sumSquares: number[];
  nees: number;
  neesInside: number;
  falseMeets: number;
  predictedFalseMeets: number;
  meets: number;
  falseMisses: number;
  predictedFalseMisses: number;
  misses: number;
  sigma0: number;
  meanSd: number[];
}

const emptyTally = (): Tally => ({
  jobs: 0,
  skipped: 0,
  failed: [],
  inside: measures.map(() => 0),
  sumSquares: measures.map(() => 0),
  nees: 0,
  neesInside: 0,
  falseMeets: 0,
  predictedFalseMeets: 0,
  meets: 0,
  falseMisses: 0,
  predictedFalseMisses: 0,
  misses: 0,
  sigma0: 0,
  meanSd: measures.map(() => 0),
});

const neesBound = chiSquareQuantile(0.95, measures.length);

const count = (seed: number, tally: Tally): void => {
  const job = runJob(seed, process.argv.includes("--hand"));
  if (job === null) {
    tally.skipped++;
    return;
  }
  if (typeof job === "string") {
    tally.failed.push(`${seed}: ${job}`);
    return;
  }
  const m = measures.length;
  tally.jobs++;
  tally.sigma0 += job.sigma0Squared;
  for (let i = 0; i < m; i++) {
    const u = Math.sqrt(job.covariance[i * m + i]);
    const z = job.error[i] / u;
    if (Math.abs(z) <= 1.959963984540054) tally.inside[i]++;
    tally.sumSquares[i] += z * z;
    tally.meanSd[i] += u;
  }
  const l = job.covariance.slice();
  cholesky(l, m);
  const whitened = Float64Array.from(job.error);
  solveLower(l, m, whitened);
  const nees = whitened.reduce((s, v) => s + v * v, 0);
  tally.nees += nees;
  if (nees <= neesBound) tally.neesInside++;
  judge(seed, job.error[judged], Math.sqrt(job.covariance[judged * m + judged]), tally);
};

/** JCGM 106: verdict from the conformance probability, against the truth. */
const judge = (seed: number, error: number, u: number, tally: Tally): void => {
  // The required value is set so that the true deviation is even over the range.
  const deviation = (((seed * 0.6180339887498949) % 1) * 2 - 1) * rangeMm;
  const measured = deviation + error;
  const conforms = Math.abs(deviation) <= toleranceMm;
  const probability =
    normalCdf((toleranceMm - measured) / u) - normalCdf((-toleranceMm - measured) / u);
  if (probability >= 0.95) {
    tally.meets++;
    tally.predictedFalseMeets += 1 - probability;
    if (!conforms) tally.falseMeets++;
  } else if (probability <= 0.05) {
    tally.misses++;
    tally.predictedFalseMisses += probability;
    if (conforms) tally.falseMisses++;
  }
};

const add = (a: Tally, b: Tally): void => {
  for (const key of Object.keys(a) as (keyof Tally)[]) {
    const value = b[key];
    if (typeof value === "number") (a[key] as number) += value;
    else if (key === "failed") a.failed.push(...b.failed);
    else
      (value as number[]).forEach((v, i) => {
        (a[key] as number[])[i] += v;
      });
  }
};

const part = process.argv.indexOf("--part");
if (part >= 0) {
  const [from, to] = process.argv.slice(part + 1, part + 3).map(Number);
  const tally = emptyTally();
  for (let seed = from; seed < to; seed++) count(seed, tally);
  process.send!(tally);
} else {
  const option = process.argv.indexOf("--jobs");
  const jobs = option < 0 ? 5000 : Number(process.argv[option + 1]);
  const limit = process.argv.indexOf("--minutes");
  const mostMs = limit < 0 ? Number.POSITIVE_INFINITY : 60_000 * Number(process.argv[limit + 1]);
  const hand = process.argv.includes("--hand") ? ["--hand"] : [];
  const began = performance.now();
  const total = emptyTally();
  let next = 1;
  // Small parts, so that both processes end together; seeds run on until enough jobs counted.
  const runPart = (): Promise<void> =>
    new Promise((resolve, reject) => {
      const size = limit < 0 ? Math.min(250, Math.max(20, Math.ceil(jobs / 8))) : 20;
      const part = ["--part", `${next}`, `${next + size}`, ...hand];
      const child = fork(fileURLToPath(import.meta.url), part);
      next += size;
      child.on("message", (tally: Tally) => add(total, tally));
      child.on("exit", (code) => (code === 0 ? resolve() : reject(new Error(`exit ${code}`))));
    });
  const worker = async () => {
    while (total.jobs < jobs && performance.now() - began < mostMs) {
      await runPart();
      process.stderr.write(`${total.jobs} jobs\n`);
    }
  };
  await Promise.all([worker(), worker()]);
  report(total, (performance.now() - began) / 1000);
}

function report(t: Tally, seconds: number): void {
  console.log(
    `${t.jobs} jobs (${t.skipped} bays without all wheels or stand boards left out, ${t.failed.length} failed)`,
  );
  for (const failure of t.failed.slice(0, 10)) console.log(`  failed ${failure}`);
  console.log("quantity                          mean u      95 % interval held   rms of error/u");
  measures.forEach((m, i) => {
    const u = t.meanSd[i] / t.jobs;
    const shown =
      m.unit === "rad" ? `${((u * 180) / Math.PI).toFixed(4)} deg` : `${u.toFixed(3)} mm`;
    console.log(
      `${m.key.padEnd(32)}  ${shown.padEnd(12)}  ${((100 * t.inside[i]) / t.jobs).toFixed(2)} %             ${Math.sqrt(t.sumSquares[i] / t.jobs).toFixed(3)}`,
    );
  });
  const m = measures.length;
  const coverage = t.inside.map((n) => n / t.jobs);
  console.log(
    `normalised error squared: mean ${(t.nees / t.jobs).toFixed(3)} (chi-square: ${m} +- ${(2 * Math.sqrt((2 * m) / t.jobs)).toFixed(3)}), inside 95 % bound ${((100 * t.neesInside) / t.jobs).toFixed(2)} %`,
  );
  console.log(`mean variance factor ${(t.sigma0 / t.jobs).toFixed(4)}`);
  console.log(
    `false 'meets' ${t.falseMeets} of ${t.meets} (predicted by JCGM 106: ${t.predictedFalseMeets.toFixed(1)}), false 'misses' ${t.falseMisses} of ${t.misses} (predicted ${t.predictedFalseMisses.toFixed(1)})`,
  );
  console.log(
    JSON.stringify({
      jobs: t.jobs,
      failed: t.failed.length,
      min_coverage95: Math.min(...coverage),
      max_coverage95: Math.max(...coverage),
      nees_mean: t.nees / t.jobs,
      nees_expected: m,
      nees_inside95: t.neesInside / t.jobs,
      false_meets: t.falseMeets,
      predicted_false_meets: Number(t.predictedFalseMeets.toFixed(2)),
      false_misses: t.falseMisses,
      predicted_false_misses: Number(t.predictedFalseMisses.toFixed(2)),
      seconds: Number(seconds.toFixed(1)),
    }),
  );
}
