/** Sums over judged sessions, in words and as the JSON of the bench's last line. */
import type { CheckError, Judged } from "./judge.ts";

const quantile = (values: readonly number[], share: number): number => {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))] ?? Number.NaN;
};

const round = (value: number, digits = 4): number => Number(value.toFixed(digits));
const mean = (values: readonly number[]): number =>
  values.reduce((sum, v) => sum + v, 0) / Math.max(1, values.length);

export const sizes = (judged: readonly Judged[], of: keyof Judged["checks"]): number[] =>
  judged.filter(({ refused }) => refused === null).map(({ checks }) => Math.abs(checks[of].error));

const inside = ({ error, expanded }: CheckError): boolean => Math.abs(error) <= expanded;

export const summary = (judged: readonly Judged[]) => {
  const done = judged.filter(({ refused }) => refused === null);
  const checks = done.flatMap(({ checks }) => [checks.ahead, checks.left, checks.yaw]);
  const bumped = done.filter((job) => job.bumped);
  return {
    bays: judged.length,
    refused: judged.length - done.length,
    ahead_mm_p95: round(quantile(sizes(judged, "ahead"), 0.95)),
    left_mm_p95: round(quantile(sizes(judged, "left"), 0.95)),
    yaw_deg_p95: round(quantile(sizes(judged, "yaw"), 0.95), 5),
    coverage95: round(checks.filter(inside).length / Math.max(1, checks.length)),
    false_remarks_per_job: round(mean(done.map((job) => job.falseRemarks.length)), 3),
    false_moved_per_job: round(mean(done.map((job) => job.falseMoved.length)), 3),
    bumps_found: round(bumped.filter((job) => job.bumpFound).length / Math.max(1, bumped.length)),
    bump_size_inside: round(
      bumped.filter((job) => job.bumpInside).length / Math.max(1, bumped.length),
    ),
    ...(done.some(({ plain }) => plain) && {
      ratio_without_motion_model: round(ratioOf(done), 2),
    }),
  };
};

const rms = (values: readonly number[]): number =>
  Math.sqrt(mean(values.map((value) => value * value)));

/**
 * How many times larger the errors are without motion model, stretch and what is left of the lens:
 * root mean squares over the bays that both answered, geometric mean of ahead, left and yaw.
 */
const ratioOf = (done: readonly Judged[]): number => {
  const both = done.flatMap(({ checks, plain }) => (plain ? [{ checks, plain }] : []));
  const keys = ["ahead", "left", "yaw"] as const;
  const logs = keys.map((key) => {
    const worse = rms(both.map(({ plain }) => plain[key].error));
    return Math.log(worse / rms(both.map(({ checks }) => checks[key].error)));
  });
  return Math.exp(mean(logs));
};

export const printReport = (judged: readonly Judged[]): void => {
  const done = judged.filter(({ refused }) => refused === null);
  for (const { seed, refused } of judged) if (refused) console.log(`bay ${seed}: ${refused}`);
  console.log("check    rms error   p95       mean U      held    rms of error / u");
  for (const key of ["ahead", "left", "yaw"] as const) {
    const checks = done.map((job) => job.checks[key]);
    const errors = checks.map(({ error }) => error);
    console.log(
      [
        key.padEnd(8),
        rms(errors).toFixed(4).padEnd(11),
        quantile(errors.map(Math.abs), 0.95).toFixed(4).padEnd(9),
        mean(checks.map(({ expanded }) => expanded))
          .toFixed(4)
          .padEnd(11),
        `${((100 * checks.filter(inside).length) / Math.max(1, checks.length)).toFixed(1)} %`,
        rms(checks.map(({ error, expanded }) => (1.96 * error) / expanded))
          .toFixed(2)
          .padStart(8),
      ].join(" "),
    );
  }
  const plain = done.flatMap((job) => job.plain ?? []);
  for (const key of ["ahead", "left", "yaw"] as const)
    if (plain.length > 0)
      console.log(
        `${key.padEnd(8)} ${rms(plain.map((checks) => checks[key].error)).toFixed(4)} without motion, stretch and rest of the lens (${plain.length} of ${done.length} bays answered)`,
      );
  console.log(`variance factor, mean: ${mean(done.map((job) => job.varianceFactor)).toFixed(2)}`);
  const count = new Map<string, number>();
  for (const { falseRemarks } of done)
    for (const text of falseRemarks) {
      const code = text.split(":")[0];
      count.set(code, (count.get(code) ?? 0) + 1);
    }
  for (const [code, times] of [...count].sort((a, b) => b[1] - a[1]))
    console.log(`  blamed wrongly: ${code} ${times} times in ${done.length} jobs`);
};
