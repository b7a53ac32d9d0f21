/**
 * `npm run bench:plan`: random invented bays. Photos are planned from rough dimensions, then taken
 * with a person's sloppiness where the plan says, and solved by the whole measurement. Compares the
 * predicted with the expanded uncertainties that come out, and counts the photos beside a walk round
 * at fixed spacing for the same proof. Options: --bays N (default 100), --quick (10),
 * --minutes M (ends after about M minutes with the bays done by then).
 */
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

const option = process.argv.indexOf("--bays");
const wanted = process.argv.includes("--quick")
  ? 10
  : option < 0
    ? 100
    : Number(process.argv[option + 1]);

const limit = process.argv.indexOf("--minutes");
const mostMs = limit < 0 ? Number.POSITIVE_INFINITY : 60_000 * Number(process.argv[limit + 1]);

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

const photos: number[] = [];
const byHand: number[] = [];
const ratios: number[] = [];
const failures: string[] = [];
let [notByHand, decided, checks, asked, lost, views, covered] = [0, 0, 0, 0, 0, 0, 0];
const began = performance.now();

for (let seed = 1; seed <= wanted && performance.now() - began < mostMs; seed++) {
  const bay = randomBay(seed);
  const { job, camera, rough } = bay;
  const made = planTask({ job, camera, outcomes: [], rough });
  if (!made.ok) {
    failures.push(`${seed}: ${made.remarks.map(({ message }) => message).join(" ")}`);
    continue;
  }
  const { task } = made;
  const possible = candidatesOf(task, {});
  const { demand } = demandOf(task, possible.choices, [], 2);
  const plan = planFrom(task, possible);
  photos.push(plan.shots.length);
  const hand = handRulePhotos(task, demand);
  if (hand === null) notByHand++;
  byHand.push(hand ?? 60);
  const outcomes = photograph(bay, plan);
  views += plan.shots.reduce((sum, { boards }) => sum + boards.length, 0);
  plan.shots.forEach(({ boards }, i) => {
    const outcome = outcomes[i];
    const seen = outcome.ok ? outcome.findings.boards.map(({ id }) => id) : [];
    lost += boards.filter((board) => !seen.includes(board)).length;
  });
  const answer = solveJob({ job, camera, outcomes, measuredAt: "2026-01-01T00:00:00Z" });
  if (!answer.ok) {
    failures.push(`${seed}: ${answer.remarks.map(({ message }) => message).join(" ")}`);
    continue;
  }
  const truth = [...bay.target.t, ...turnsOf(bay)];
  plan.checks.forEach((check, i) => {
    const got = answer.result.checks[i];
    ratios.push(check.planned / got.expandedUncertainty);
    checks++;
    if (!check.outOfReach) {
      asked++;
      if (got.verdict !== "not proven") decided++;
    }
    if (Math.abs(got.measured - truth[i]) <= got.expandedUncertainty) covered++;
  });
  if (seed % 10 === 0) process.stderr.write(`${seed} bays\n`);
}

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

const quantile = (values: readonly number[], share: number): number => {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))];
};
const off = ratios.map((ratio) => Math.abs(ratio - 1));
const share = (value: number, of: number) => Number((value / Math.max(1, of)).toFixed(3));

for (const failure of failures) console.log(`no result: ${failure}`);
console.log(
  `${photos.length} bays: ${quantile(photos, 0.5)} photos planned (${Math.min(...photos)} to ${Math.max(...photos)}), ` +
    `${quantile(byHand, 0.5)} by walking round (${notByHand} bays not proven by 60)`,
);
console.log(
  `predicted over got: median ${quantile(ratios, 0.5).toFixed(3)}, 5 % ${quantile(ratios, 0.05).toFixed(3)}, ` +
    `95 % ${quantile(ratios, 0.95).toFixed(3)}; within 15 %: ${share(off.filter((o) => o <= 0.15).length, off.length)}`,
);
console.log(
  `planned views that the sloppy photos lost: ${lost} of ${views}; checks within reach that were ` +
    `decided: ${decided} of ${asked}; intervals that hold the truth: ${covered} of ${checks}`,
);
console.log(
  JSON.stringify({
    bays: photos.length,
    photos_median: quantile(photos, 0.5),
    predicted_vs_got_p95: Number(quantile(off, 0.95).toFixed(3)),
    hand_rule_photos: quantile(byHand, 0.5),
    hand_rule_not_proven: notByHand,
    fewer: Number((1 - quantile(photos, 0.5) / quantile(byHand, 0.5)).toFixed(3)),
    decided: share(decided, asked),
    coverage95: share(covered, checks),
    failed: failures.length,
    seconds: Number(((performance.now() - began) / 1000).toFixed(1)),
  }),
);
