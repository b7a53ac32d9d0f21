/**
 * `npm run bench:network`: time and peak memory of the whole adjustment with the covariance of all
 * board poses, beside SciPy's sparse least_squares (analytic sparse Jacobian, start values within
 * millimetres of the truth, sparse LU for the covariance) on the same problems in the same run.
 * Ours finds its own start values. Each size runs in a process of its own, the small ones twice
 * (the better time of each side counts). SciPy may take --patience seconds (240); the
 * cost difference says how far it then still is from the minimum. Option: --only PHOTOSxBOARDS.
 */
import { execFileSync } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { adjust } from "../../src/adjust/adjust.ts";
import type { Quantity } from "../../src/adjust/problem/problem.ts";
import { problemAsJson } from "../reference/network-problem.ts";
import { makeBay, prune } from "../unit/adjust/bay.ts";

const sizes: readonly (readonly [number, number])[] = [
  [10, 10],
  [30, 30],
  [100, 100],
  [300, 100],
];
const flag = (name: string): string | undefined => {
  const at = process.argv.indexOf(name);
  return at < 0 ? undefined : process.argv[at + 1];
};

/** Seconds that SciPy may take for one problem. */
const patience = flag("--patience") ?? "240";
const runs = (photos: number): number => (photos > 20 ? 1 : 2);

interface Own {
  readonly photos: number;
  readonly boards: number;
  readonly views: number;
  readonly ms: number;
  readonly adjustMs: number;
  readonly iterations: number;
  readonly cost: number;
  readonly peakMb: number;
}

const bayOf = (photos: number, boards: number) =>
  prune(makeBay({ seed: 7, photos, boards, lengths: 2, floor: true }));

const runOwn = (photos: number, boards: number): Own => {
  const { problem } = bayOf(photos, boards);
  const began = performance.now();
  const adjusted = adjust(problem);
  const between = performance.now();
  if (!adjusted.ok) throw new Error(adjusted.remarks.map((r) => r.message).join(" "));
  // All six numbers of every board in the bay frame: positions and the columns of its rotation.
  const quantities = problem.boards.flatMap(({ key }) =>
    [0, 1, 2, 3, 4, 5].map((k): Quantity => {
      const { R, t } = adjusted.state.pose(key);
      return {
        key: `${key} ${k}`,
        evaluate: (s) => {
          const pose = s.pose(key);
          if (k < 3) return pose.t[k] - t[k];
          const [a, b] = [
            [1, 2],
            [2, 0],
            [0, 1],
          ][k - 3];
          // Turn about own axis k: column b of the start against column a of the moved rotation.
          return -(R[a] * pose.R[b] + R[a + 3] * pose.R[b + 3] + R[a + 6] * pose.R[b + 6]);
        },
      };
    }),
  );
  const propagated = adjusted.propagate(quantities);
  const ended = performance.now();
  if (propagated.covariance.length !== quantities.length ** 2)
    throw new Error("covariance missing");
  return {
    photos: problem.photos.length,
    boards: problem.boards.length,
    views: problem.observations.length,
    ms: ended - began,
    adjustMs: between - began,
    iterations: adjusted.iterations,
    cost: adjusted.sigma0Squared * adjusted.redundancy,
    peakMb: process.resourceUsage().maxRSS / 1024,
  };
};

const one = flag("--one");
if (one) {
  const [photos, boards] = one.split("x").map(Number);
  console.log(JSON.stringify(runOwn(photos, boards)));
} else compareAll();

function compareAll(): void {
  const only = flag("--only");
  const folder = mkdtempSync(join(tmpdir(), "bench-network-"));
  const rows: Record<string, number>[] = [];
  console.log(
    "photos boards  views   ours ms (adjust, steps)  peak MB   SciPy ms (steps)  peak MB   SciPy/ours",
  );
  for (const [photos, boards] of sizes) {
    if (only && only !== `${photos}x${boards}`) continue;
    const problem = join(folder, "problem.json");
    const answer = join(folder, "answer.json");
    writeFileSync(problem, problemAsJson(bayOf(photos, boards), 0.5));
    const own: Own[] = [];
    const theirs: {
      ms: number;
      evaluations: number;
      cost: number;
      peak_mb: number;
      finished: boolean;
    }[] = [];
    for (let run = 0; run < runs(photos); run++) {
      own.push(
        JSON.parse(
          execFileSync(
            process.execPath,
            ["--import", "tsx", fileURLToPath(import.meta.url), "--one", `${photos}x${boards}`],
            { encoding: "utf8" },
          ),
        ),
      );
      const script = fileURLToPath(new URL("../reference/network_model.py", import.meta.url));
      execFileSync("/usr/bin/python3", [script, "bench", problem, answer, patience]);
      theirs.push(JSON.parse(readFileSync(answer, "utf8")));
    }
    const best = own.reduce((a, b) => (b.ms < a.ms ? b : a));
    const scipy = theirs.reduce((a, b) => (b.ms < a.ms ? b : a));
    const agreement = Math.abs(best.cost / scipy.cost - 1);
    rows.push({
      photos: best.photos,
      boards: best.boards,
      views: best.views,
      ms: Math.round(best.ms),
      scipy_ms: Math.round(scipy.ms),
      ratio: Number((best.ms / scipy.ms).toFixed(4)),
      peak_mb: Math.round(best.peakMb),
      scipy_peak_mb: Math.round(scipy.peak_mb),
      scipy_finished: scipy.finished ? 1 : 0,
      cost_difference: agreement,
    });
    console.log(
      `${best.photos}`.padStart(6) +
        `${best.boards}`.padStart(7) +
        `${best.views}`.padStart(7) +
        `${best.ms.toFixed(0)} (${best.adjustMs.toFixed(0)}, ${best.iterations})`.padStart(25) +
        best.peakMb.toFixed(0).padStart(9) +
        `${scipy.finished ? "" : "> "}${scipy.ms.toFixed(0)} (${scipy.evaluations})`.padStart(19) +
        scipy.peak_mb.toFixed(0).padStart(9) +
        (scipy.ms / best.ms).toFixed(1).padStart(13),
    );
  }
  rmSync(folder, { recursive: true });
  const named =
    rows.find((r) => r.boards >= 90 && r.photos >= 95 && r.photos <= 105) ?? rows[rows.length - 1];
  console.log(JSON.stringify({ ...named, rows }));
}
