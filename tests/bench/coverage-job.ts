/**
 * One simulated job for the coverage bench: a random bay with wheel plates, floor, stand and
 * target, every stated uncertainty drawn from its stated distribution, adjusted by the product.
 */

import { adjust } from "../../src/adjust/adjust.ts";
import type {
  NetworkProblem,
  Quantity,
  ScalarStatement,
} from "../../src/adjust/problem/problem.ts";
import { usualMotion } from "../../src/adjust/spreads/motion-spread.ts";
import { settleSpreads } from "../../src/adjust/spreads/settle.ts";
import {
  compose,
  dot,
  expRotation,
  invert,
  norm,
  type Pose,
  scale,
  sub,
  type Vec3,
} from "../../src/maths/pose.ts";
import { type HandOptions, makeBay, prune, random } from "../unit/adjust/bay.ts";

/** Wheel plates carry boards 0 .. 3 (front left, front right, rear left, rear right). */
const plateSd = [0.0015, 0.0015, 0, 0.7, 0.7, 0.5];
/** Boards 4 and 9 stand on the stand; the target is where their offsets say. */
const standBoards = ["4", "9"];
const offsetSd = [0.001, 0.001, 0.001, 0.5, 0.5, 0.5];
const rigidSd = [5e-4, 5e-4, 5e-4, 0.2, 0.2, 0.2] as const;

/** What the quantities need: wheel poses and target pose in a frame whose z = 0 is the floor. */
interface Places {
  wheel(i: number): Pose;
  target(): Pose;
}

const average = (a: Vec3, b: Vec3): Vec3 => [
  (a[0] + b[0]) / 2,
  (a[1] + b[1]) / 2,
  (a[2] + b[2]) / 2,
];
const flat = (v: Vec3): Vec3 => [v[0], v[1], 0];
const angle = (v: Vec3): number => Math.atan2(v[1], v[0]);
const wrapped = (a: number): number => Math.atan2(Math.sin(a), Math.cos(a));
const normalOf = (p: Pose): Vec3 => [p.R[2], p.R[5], p.R[8]];

/** Direction of travel of a wheel from its plate's normal: left wheels face left. */
const travel = (places: Places, i: number): Vec3 => {
  const n = normalOf(places.wheel(i));
  const side = i % 2 === 0 ? 1 : -1;
  return [side * n[1], -side * n[0], 0];
};

const lines = (places: Places) => {
  const front = flat(average(places.wheel(0).t, places.wheel(1).t));
  const rear = flat(average(places.wheel(2).t, places.wheel(3).t));
  const base = sub(front, rear);
  const ahead = scale(base, 1 / norm(base));
  const heading = angle(ahead);
  const toe = (i: number) => wrapped(angle(travel(places, i)) - heading);
  const thrust = heading + (toe(2) + toe(3)) / 2;
  return { front, rear, ahead, wheelbase: norm(base), thrust };
};

export const measures: readonly { key: string; unit: string; of: (p: Places) => number }[] = [
  {
    key: "distance ahead of front axle",
    unit: "mm",
    of: (p) => {
      const { front, ahead } = lines(p);
      return dot(sub(flat(p.target().t), front), ahead);
    },
  },
  {
    key: "offset from thrust line",
    unit: "mm",
    of: (p) => {
      const { rear, thrust } = lines(p);
      const d = sub(flat(p.target().t), rear);
      return -Math.sin(thrust) * d[0] + Math.cos(thrust) * d[1];
    },
  },
  {
    key: "turn against thrust line",
    unit: "rad",
    of: (p) => wrapped(angle(scale(normalOf(p.target()), -1)) - lines(p).thrust),
  },
  { key: "height above floor", unit: "mm", of: (p) => p.target().t[2] },
  { key: "target tilt", unit: "rad", of: (p) => Math.asin(normalOf(p.target())[2]) },
  { key: "wheelbase", unit: "mm", of: (p) => lines(p).wheelbase },
  { key: "thrust angle", unit: "rad", of: (p) => wrapped(lines(p).thrust - angle(lines(p).ahead)) },
  { key: "front track", unit: "mm", of: (p) => norm(sub(p.wheel(0).t, p.wheel(1).t)) },
];

const smallPose = (v: ArrayLike<number>): Pose => ({
  R: expRotation([v[0], v[1], v[2]]),
  t: [v[3], v[4], v[5]],
});

/** A hand that drifts and trembles; see tests/tools/phone/ranges.ts for the sources. */
const trembling: HandOptions = {
  turnSd: (0.012 * Math.PI) / 180,
  shiftSdMm: 0.1,
  tremor: { amplitude: (0.007 * Math.PI) / 180, cycles: 0.2 },
};

export interface JobResult {
  readonly error: number[];
  readonly measured: number[];
  readonly covariance: Float64Array;
  readonly sigma0Squared: number;
}

/** Runs job number `seed`; null where the random photos left out a wheel or the stand. */
export const runJob = (seed: number, hand = false): JobResult | string | null => {
  const bay = prune(
    makeBay({
      seed,
      photos: 8 + (seed % 5),
      boards: 10,
      grid: 3,
      sigmaPx: 0.15,
      floor: true,
      lengths: 2,
      lengthSdMm: 1.5,
      cellSd: 4e-4,
      printSd: 1e-3,
      bendSd: seed % 3 === 0 ? 1e-5 : 0,
      ...(hand && { motion: trembling, motionPrior: usualMotion, printStretchSd: 1e-3 }),
    }),
  );
  const has = (key: string) => bay.problem.boards.some((b) => b.key === key);
  if (!["0", "1", "2", "3", ...standBoards].every(has)) return null;
  const r = random(seed + 500_000);
  const draw = (sds: readonly number[]) => sds.map((sd) => (sd > 0 ? r.normal(sd) : 0));
  const plates = [0, 1, 2, 3].map(() => draw(plateSd));
  // The true target hangs on the first stand board; the second board's link to it follows.
  const offsets = standBoards.map(() => draw(offsetSd));
  const truth = bay.truth.board;
  const target = compose(truth.get(standBoards[0])!, smallPose(offsets[0]));
  const slack = standBoards.map(() => smallPose(draw(rigidSd)));
  // Nominal link of the second board: true link without its own errors.
  const nominal = standBoards.map((key, i) => {
    const exact = compose(invert(truth.get(key)!), target);
    return compose(compose(exact, invert(slack[i])), invert(smallPose(offsets[i])));
  });
  const scalars: ScalarStatement[] = [
    ...plates.map((_, i) => ({
      key: `plate${i}`,
      mean: [0, 0, 0, 0, 0, 0],
      sd: plateSd,
      source: "wheel plates" as const,
    })),
    ...standBoards.map((key) => ({
      key: `offset${key}`,
      mean: [0, 0, 0, 0, 0, 0],
      sd: offsetSd,
      source: "target offset" as const,
    })),
  ];
  const problem: NetworkProblem = {
    ...bay.problem,
    frames: [{ key: "target" }],
    scalars,
    chains: standBoards.map((key, i) => ({
      key: `board ${key} on the stand`,
      links: [
        { kind: "pose", key: "target", inverse: true },
        { kind: "pose", key },
        { kind: "fixed", pose: nominal[i] },
        { kind: "small", key: `offset${key}` },
      ],
      sd: [...rigidSd] as [number, number, number, number, number, number],
      source: "target offset",
    })),
  };
  const first = adjust(problem);
  if (!first.ok) return first.remarks.map((m) => m.message).join(" ");
  const settled = hand ? settleSpreads(problem, first) : null;
  if (settled && !settled.ok) return settled.remarks.map((m) => m.message).join(" ");
  const adjusted = settled ? settled.adjusted : first;
  const truePlaces: Places = {
    wheel: (i) => compose(truth.get(`${i}`)!, smallPose(plates[i])),
    target: () => target,
  };
  const quantities: Quantity[] = measures.map((m) => ({
    key: m.key,
    evaluate: (s) =>
      m.of({
        wheel: (i) => compose(s.pose(`${i}`), smallPose(s.scalars(`plate${i}`))),
        target: () => s.pose("target"),
      }),
  }));
  const { values, covariance } = adjusted.propagate(quantities);
  const error = measures.map((m, i) => values[i] - m.of(truePlaces));
  return { error, measured: [...values], covariance, sigma0Squared: adjusted.sigma0Squared };
};
