/**
 * `npm run bench:plan`: random invented bays. Photos are planned from rough dimensions, then taken
 * with a person's sloppiness where the plan says, and solved by the whole measurement. Compares the
 * predicted with the expanded uncertainties that come out, and counts the photos beside a walk round
 * at fixed spacing for the same proof. Options: --bays N (default 100), --quick (10),
 * --minutes M (ends after about M minutes with the bays done by then), --save FILE (keeps what came out
 * of every bay; bays that are there already are not done again, so that slices add up; delete the file
 * when the program has changed).
 */
import { existsSync, readFileSync, writeFileSync } from "node:fs";
import { parseArgs } from "node:util";
import { solveJob } from "../../src/job/solve/solve.ts";
import type { Vec3 } from "../../src/maths/pose.ts";
import { candidatesOf, demandOf } from "../../src/plan/demand.ts";
import { planFrom } from "../../src/plan/plan.ts";
import type { PhotoPlan, Shot } from "../../src/plan/plan-types.ts";
import { planTask } from "../../src/plan/task.ts";
import { heldPose } from "../../src/plan/view/sight.ts";
import { handRulePhotos } from "../tools/plan/hand-rule.ts";
import { type RandomBay, randomBay } from "../tools/plan/random-bay.ts";
import { takePhoto } from "../tools/plan/take-photos.ts";

const { values: options } = parseArgs({
  options: {
    bays: { type: "string", default: "100" },
    quick: { type: "boolean", default: false },
    minutes: { type: "string" },
    save: { type: "string" },
    list: { type: "boolean", default: false },
  },
});
const wanted = options.quick ? 10 : Number(options.bays);
const mostMs = options.minutes ? 60_000 * Number(options.minutes) : Number.POSITIVE_INFINITY;

interface CheckDone {
  readonly id: string;
  /** Predicted over got. */
  readonly ratio: number;
  readonly within: boolean;
  readonly decided: boolean;
  readonly covered: boolean;
}
interface BayDone {
  readonly seed: number;
  readonly failure: string | null;
  readonly photos: number;
  /** Null where 60 photos do not prove it. */
  readonly byHand: number | null;
  readonly views: number;
  readonly lost: number;
  /** Photos that the adjustment left out, and sentences about misfit. */
  readonly said: readonly string[];
  readonly checks: readonly CheckDone[];
}

const poseOf = ({ at, heightMm, yawDeg, pitchDeg, upright }: Shot) => {
  const [yaw, pitch] = [(yawDeg * Math.PI) / 180, (pitchDeg * Math.PI) / 180];
  const flat = Math.cos(pitch);
  const towards: Vec3 = [flat * Math.cos(yaw), flat * Math.sin(yaw), Math.sin(pitch)];
  return heldPose([at[0], at[1], heightMm], towards, upright);
};

const photograph = (bay: RandomBay, plan: PhotoPlan) =>
  plan.shots.map((shot) =>
    takePhoto(bay, plan.bay.obstacles, {
      name: `shot-${shot.number}.jpg`,
      cameraFromVehicle: poseOf(shot),
      upright: shot.upright,
      boards: shot.boards,
    }),
  );

function doBay(seed: number): BayDone {
  const bay = randomBay(seed);
  const { job, camera, rough } = bay;
  const made = planTask({ job, camera, outcomes: [], rough });
  if (!made.ok) return failed(seed, 0, made.remarks);
  const { task } = made;
  const possible = candidatesOf(task, {});
  const { demand } = demandOf(task, possible.choices, [], 2);
  const plan = planFrom(task, possible);
  const outcomes = photograph(bay, plan);
  const lost = plan.shots.map(({ boards }, i) => {
    const outcome = outcomes[i];
    const seen = outcome.ok ? outcome.findings.boards.map(({ id }) => id) : [];
    return boards.filter((board) => !seen.includes(board)).length;
  });
  const answer = solveJob({ job, camera, outcomes, measuredAt: "2026-01-01T00:00:00Z" });
  if (!answer.ok) return failed(seed, plan.shots.length, answer.remarks);
  const truth = [...bay.target.t, ...turnsOf(bay)];
  return {
    seed,
    failure: null,
    photos: plan.shots.length,
    byHand: handRulePhotos(task, demand),
    views: plan.shots.reduce((sum, { boards }) => sum + boards.length, 0),
    lost: lost.reduce((sum, count) => sum + count, 0),
    said: answer.result.remarks
      .filter(({ severity }) => severity !== "info")
      .map(({ code }) => code),
    checks: plan.checks.map((check, i) => {
      const got = answer.result.checks[i];
      return {
        id: check.id,
        ratio: check.planned / got.expandedUncertainty,
        within: !check.outOfReach,
        decided: got.verdict !== "not proven",
        covered: Math.abs(got.measured - truth[i]) <= got.expandedUncertainty,
      };
    }),
  };
}

const failed = (
  seed: number,
  photos: number,
  remarks: readonly { message: string }[],
): BayDone => ({
  seed,
  failure: remarks.map(({ message }) => message).join(" "),
  photos,
  byHand: null,
  views: 0,
  lost: 0,
  said: [],
  checks: [],
});

/** Yaw, pitch and roll of the true target in the vehicle frame, degrees; see the placement oracle. */
function turnsOf({ target: { R } }: RandomBay): number[] {
  const deg = 180 / Math.PI;
  const face = [R[2], R[5], R[8]];
  return [
    deg * Math.atan2(-face[1], -face[0]),
    deg * Math.asin(face[2]),
    deg * Math.atan2(-R[6], R[7]),
  ];
}

const kept: BayDone[] =
  options.save && existsSync(options.save)
    ? (JSON.parse(readFileSync(options.save, "utf8")) as BayDone[])
    : [];
const began = performance.now();
for (let seed = 1; seed <= wanted && performance.now() - began < mostMs; seed++) {
  if (kept.some((one) => one.seed === seed)) continue;
  kept.push(doBay(seed));
  if (options.save) writeFileSync(options.save, JSON.stringify(kept));
  if (seed % 10 === 0) process.stderr.write(`${seed} bays\n`);
}

const quantile = (values: readonly number[], share: number): number => {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))];
};
const share = (value: number, of: number) => Number((value / Math.max(1, of)).toFixed(3));
const sum = (values: readonly number[]) => values.reduce((total, value) => total + value, 0);

const done = kept.filter(({ seed }) => seed <= wanted);
const solved = done.filter(({ failure }) => failure === null);
const checks = solved.flatMap((bay) => bay.checks);
const ratios = checks.map(({ ratio }) => ratio);
const off = ratios.map((ratio) => Math.abs(ratio - 1));
const photos = solved.map((bay) => bay.photos);
const byHand = solved.map((bay) => bay.byHand ?? 60);
const notByHand = solved.filter((bay) => bay.byHand === null).length;
const asked = checks.filter(({ within }) => within);
const within15 = share(off.filter((o) => o <= 0.15).length, off.length);

for (const { seed, failure } of done)
  if (failure !== null) console.log(`no result: ${seed}: ${failure}`);
if (options.list) {
  for (const { seed, photos: count, lost, views, said, checks: list } of solved) {
    const texts = list.map(({ id, ratio }) => `${id} ${ratio.toFixed(2)}`).join(", ");
    console.log(`${seed}: ${count} photos, ${lost} of ${views} lost, ${texts} ${said.join(" ")}`);
  }
}
console.log(
  `${solved.length} bays: ${quantile(photos, 0.5)} photos planned (${Math.min(...photos)} to ${Math.max(...photos)}), ` +
    `${quantile(byHand, 0.5)} by walking round (${notByHand} bays not proven by 60)`,
);
console.log(
  `predicted over got: median ${quantile(ratios, 0.5).toFixed(3)}, 5 % ${quantile(ratios, 0.05).toFixed(3)}, ` +
    `95 % ${quantile(ratios, 0.95).toFixed(3)}; within 15 %: ${within15}`,
);
console.log(
  `planned views that the sloppy photos lost: ${sum(solved.map((bay) => bay.lost))} of ` +
    `${sum(solved.map((bay) => bay.views))}; checks within reach that were decided: ` +
    `${asked.filter(({ decided }) => decided).length} of ${asked.length}; intervals that hold the ` +
    `truth: ${checks.filter(({ covered }) => covered).length} of ${checks.length}`,
);
console.log(
  JSON.stringify({
    bays: solved.length,
    photos_median: quantile(photos, 0.5),
    predicted_vs_got_p95: Number(quantile(off, 0.95).toFixed(3)),
    within_15_percent: within15,
    hand_rule_photos: quantile(byHand, 0.5),
    hand_rule_not_proven: notByHand,
    fewer: Number((1 - quantile(photos, 0.5) / quantile(byHand, 0.5)).toFixed(3)),
    decided: share(asked.filter(({ decided }) => decided).length, asked.length),
    coverage95: share(checks.filter(({ covered }) => covered).length, checks.length),
    failed: done.length - solved.length,
    seconds: Number(((performance.now() - began) / 1000).toFixed(1)),
  }),
);
