/**
 * Simulated placements around the edge of their tolerance, over every kind of check: how often is
 * "meets" false, does the expanded uncertainty cover the truth, and how exact is the thrust line
 * with one and with two car positions?
 *
 *   npm run bench:placement [-- <jobs with one position> <jobs with two positions>]
 *
 * Every job draws its own car, plates, floor, stand, lens and photos; one full adjustment each.
 * Every check of a job then gets tolerances whose limit lies near its true value: scattered with
 * twice its standard uncertainty about the edge. A second count puts the true value exactly on the
 * limit, the worst case, where the share of "meets" must come near the stated risk. Beside the share of
 * false "meets" stands what the global risk of JCGM 106 says for the same scatter.
 */

import { adjust } from "../../src/adjust/adjust.ts";
import type { Propagated, Quantity, StateView } from "../../src/adjust/problem/problem.ts";
import { degrees, matVec, sub } from "../../src/maths/pose.ts";
import { normalQuantile } from "../../src/maths/statistics.ts";
import {
  checkQuantities,
  evaluateCheck,
  readCheck,
  type StepContext,
} from "../../src/placement/checks/checks.ts";
import {
  defaultRule,
  globalRisk,
  statedRisk,
  verdictOf,
} from "../../src/placement/decide/conformance.ts";
import { readValue } from "../../src/placement/decide/measured.ts";
import type { Check, Step } from "../../src/placement/sheet/sheet.ts";
import { vehicleLines } from "../../src/vehicle/lines.ts";
import { vehicleQuantities } from "../../src/vehicle/quantities.ts";
import type { VehicleSetup } from "../../src/vehicle/setup.ts";
import { type Random, random } from "../unit/adjust/bay.ts";
import { sheet } from "../unit/placement/scene.ts";
import { bodyPoint, simulatedTarget, simulateJob } from "../unit/placement/simulated-job.ts";

const jobsWithOne = Number(process.argv[2] ?? 150);
const jobsWithTwo = Number(process.argv[3] ?? 60);

const open = { required: 0, lowerDeviation: -1, upperDeviation: 1, reference: "invented" };
const point = { kind: "dropped point", name: bodyPoint } as const;
const target = { kind: "target" } as const;
const corner = (name: "upper left" | "upper right") =>
  ({ kind: "target corner", corner: name }) as const;
const wheel = (name: "front left" | "front right") =>
  ({ kind: "wheel centre", wheel: name }) as const;

const checks: Check[] = [
  { kind: "distance", id: "distance", ...open },
  { kind: "lateral offset", id: "lateral", ...open },
  { kind: "height", id: "height", ...open },
  { kind: "height", id: "height-car", ...open, above: "floor under the car" },
  { kind: "yaw", id: "yaw", ...open },
  { kind: "pitch", id: "pitch", ...open },
  { kind: "roll", id: "roll", ...open },
  { kind: "straight distance", id: "straight", ...open, from: wheel("front left"), to: target },
  { kind: "range", id: "range", ...open, from: point, to: target },
  { kind: "bearing", id: "bearing", ...open, from: point, to: target },
  {
    kind: "equal diagonals",
    id: "diagonals",
    ...open,
    first: [wheel("front left"), corner("upper right")],
    second: [wheel("front right"), corner("upper left")],
  },
  { kind: "parallel", id: "parallel", ...open, axle: "front" },
  { kind: "mat corner along", id: "corner-along", ...open, corner: "lower left" },
  { kind: "mat corner across", id: "corner-across", ...open, corner: "lower left" },
  { kind: "floor slope", id: "slope", ...open },
  { kind: "floor flatness", id: "flatness", ...open },
  {
    kind: "free space",
    id: "free",
    ...open,
    from: target,
    obstacles: [
      { kind: "floor board", board: "13" },
      { kind: "floor board", board: "14" },
    ],
  },
];
const step: Step = {
  id: "bench",
  title: "bench",
  target: { name: simulatedTarget.name, kind: "board", facing: "rearward" },
  checks,
};

interface Count {
  placements: number;
  covered: number;
  outside: number;
  meets: number;
  falseMeets: number;
  atLimit: number;
  atLimitMeets: number;
  /** Sum of squared errors in units of the standard uncertainty. */
  squares: number;
}
const counts = new Map<string, Count>();
const countOf = (key: string): Count => {
  const found = counts.get(key) ?? {
    placements: 0,
    covered: 0,
    outside: 0,
    meets: 0,
    falseMeets: 0,
    atLimit: 0,
    atLimitMeets: 0,
    squares: 0,
  };
  counts.set(key, found);
  return found;
};

/** Limits of a tolerance whose upper or lower edge lies `beyond` from the true value, inwards > 0. */
const limitsNear = (truth: number, inside: number, width: number, upper: boolean) =>
  upper
    ? { lower: truth + inside - width, upper: truth + inside }
    : { lower: truth - inside, upper: truth - inside + width };

const judge = (key: string, value: number, sd: number, truth: number, r: Random): void => {
  const count = countOf(key);
  count.placements++;
  const z = (value - truth) / sd;
  count.squares += z * z;
  if (Math.abs(z) <= 1.959963984540054) count.covered++;
  const inside = r.normal(2 * sd);
  const width = r.uniform(6, 14) * sd;
  const verdict = verdictOf(
    value,
    sd,
    limitsNear(truth, inside, width, r.uniform() < 0.5),
    defaultRule,
  );
  const isOutside = inside < 0;
  if (isOutside) count.outside++;
  if (verdict === "meets") count.meets++;
  if (verdict === "meets" && isOutside) count.falseMeets++;
  count.atLimit++;
  const onEdge = limitsNear(truth, 0, width, r.uniform() < 0.5);
  if (verdictOf(value, sd, onEdge, defaultRule) === "meets") count.atLimitMeets++;
};

/**
 * Direction of the thrust line in the bay, degrees, against the line from floor board 17 to 13, and
 * the thrust angle against the centreline, which also carries the plates' stand-off.
 */
const thrustQuantities = (setup: VehicleSetup): Quantity[] => [
  {
    key: "thrust line",
    evaluate: (state) => {
      const { bayFromVehicle, inVehicle } = vehicleLines(state, setup);
      const thrust = matVec(bayFromVehicle.R, inVehicle.thrust ?? [1, 0, 0]);
      const line = sub(state.pose("13").t, state.pose("17").t);
      const across = line[0] * thrust[1] - line[1] * thrust[0];
      return degrees(Math.atan2(across, line[0] * thrust[0] + line[1] * thrust[1]));
    },
  },
  ...vehicleQuantities(setup).filter((q) => q.key === "vehicle:thrust angle"),
];

/** Toe and camber of every wheel: the spindles' directions. */
const spindleQuantities = (setup: VehicleSetup): Quantity[] =>
  vehicleQuantities(setup).filter((q) => /^vehicle:(toe|camber) /.test(q.key));
const spindles = { inside: 0, total: 0, squares: 0 };

const countSpindles = (
  quantities: readonly Quantity[],
  propagated: Propagated,
  truth: StateView,
) => {
  for (const quantity of quantities) {
    const { value, sd } = readValue(propagated, quantity.key);
    const z = (value - quantity.evaluate(truth)) / sd;
    spindles.total++;
    spindles.squares += z * z;
    if (Math.abs(z) <= 1.959963984540054) spindles.inside++;
  }
};

interface ThrustErrors {
  readonly line: { errors: number[]; sds: number[] };
  readonly angle: { errors: number[]; sds: number[] };
}
let failed = 0;

const runJobs = (jobs: number, positions: 1 | 2, firstSeed: number): ThrustErrors => {
  const thrust: ThrustErrors = {
    line: { errors: [], sds: [] },
    angle: { errors: [], sds: [] },
  };
  for (let i = 0; i < jobs; i++) {
    const r = random(firstSeed + 7919 * i);
    const job = simulateJob({
      seed: firstSeed + i,
      positions,
      target: {
        shiftMm: [r.normal(15), r.normal(15), r.normal(15)],
        turnDeg: [r.normal(0.7), r.normal(0.5), r.normal(0.5)],
      },
    });
    const solution = adjust(job.problem);
    if (!solution.ok) {
      failed++;
      continue;
    }
    const context: StepContext = { setup: job.setup, sheet, step };
    const thrustOf = thrustQuantities(job.setup.vehicle);
    const spindleOf = positions === 2 ? spindleQuantities(job.setup.vehicle) : [];
    const propagated = solution.propagate([...checkQuantities(context), ...thrustOf, ...spindleOf]);
    countSpindles(spindleOf, propagated, job.truth);
    for (const check of checks) {
      const { value, sd } = readCheck(propagated, step, check);
      judge(check.id, value, sd, evaluateCheck(job.truth, context, check), r);
    }
    for (const [k, list] of [thrust.line, thrust.angle].entries()) {
      const { value, sd } = readValue(propagated, thrustOf[k].key);
      list.errors.push(Math.abs(value - thrustOf[k].evaluate(job.truth)));
      list.sds.push(sd);
    }
  }
  return thrust;
};

/**
 * Share of "meets" among placements out of tolerance that JCGM 106 (9.5) gives for this scatter: in
 * units of u the true value lies about a limit with standard deviation 2, the other limit far off.
 */
const expectedFalseMeets = (): number => {
  const guard = normalQuantile(1 - statedRisk(defaultRule).consumer);
  const limits = { lower: -20, upper: 0 };
  const acceptance = { lower: limits.lower, upper: -guard };
  return 2 * globalRisk({ mean: 0, sd: 2 }, 1, limits, acceptance).consumer;
};

const percentile = (values: readonly number[], p: number): number => {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[Math.min(sorted.length - 1, Math.ceil(p * sorted.length) - 1)] ?? Number.NaN;
};
const rms = (values: readonly number[]): number =>
  Math.sqrt(values.reduce((s, v) => s + v * v, 0) / values.length);
const percent = (part: number, whole: number): string =>
  whole === 0 ? "-" : `${((100 * part) / whole).toFixed(1)} %`;

const one = runJobs(jobsWithOne, 1, 1000);
const two = runJobs(jobsWithTwo, 2, 5000);

const total = [...counts.values()].reduce((sum, c) => ({
  placements: sum.placements + c.placements,
  covered: sum.covered + c.covered,
  outside: sum.outside + c.outside,
  meets: sum.meets + c.meets,
  falseMeets: sum.falseMeets + c.falseMeets,
  atLimit: sum.atLimit + c.atLimit,
  atLimitMeets: sum.atLimitMeets + c.atLimitMeets,
  squares: sum.squares + c.squares,
}));

console.log("check             n   covered   false among out   meets at limit   rms error / u");
for (const [key, c] of [...counts, ["all", total] as const]) {
  console.log(
    `${key.padEnd(14)}${String(c.placements).padStart(5)}${percent(c.covered, c.placements).padStart(10)}` +
      `${percent(c.falseMeets, c.outside).padStart(18)}${percent(c.atLimitMeets, c.atLimit).padStart(17)}` +
      `${Math.sqrt(c.squares / c.placements)
        .toFixed(2)
        .padStart(16)}`,
  );
}
const report = (name: string, t: ThrustErrors) => {
  for (const [what, { errors, sds }] of [
    ["thrust line in the bay", t.line],
    ["thrust angle against the centreline", t.angle],
  ] as const) {
    console.log(
      `${what}, ${name}: 95th percentile ${percentile(errors, 0.95).toFixed(4)} degrees, ` +
        `rms ${rms(errors).toFixed(4)}, stated ${rms(sds).toFixed(4)} (${errors.length} jobs)`,
    );
  }
};
report("one position", one);
report("two positions", two);
console.log(
  `spindles with two positions (toe and camber of four wheels): ${percent(spindles.inside, spindles.total)} ` +
    `inside their 95 % interval, rms error / u ${Math.sqrt(spindles.squares / spindles.total).toFixed(2)} ` +
    `(${spindles.total} values)`,
);
if (failed > 0) console.log(`${failed} adjustments failed`);

console.log(
  JSON.stringify({
    placements: total.placements,
    false_meets: Number((total.falseMeets / Math.max(1, total.outside)).toFixed(4)),
    false_meets_expected: Number(expectedFalseMeets().toFixed(4)),
    false_meets_at_limit: Number((total.atLimitMeets / total.atLimit).toFixed(4)),
    stated_risk: statedRisk(defaultRule).consumer,
    coverage: Number((total.covered / total.placements).toFixed(4)),
    thrust_deg_p95_one: Number(percentile(one.line.errors, 0.95).toFixed(4)),
    thrust_deg_p95_two: Number(percentile(two.line.errors, 0.95).toFixed(4)),
    spindle_coverage: Number((spindles.inside / spindles.total).toFixed(4)),
    failed,
  }),
);
