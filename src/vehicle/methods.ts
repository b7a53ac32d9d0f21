import type { Propagated, Quantity, StateView } from "../adjust/problem/problem.ts";
import { dot, invert, sub, transform } from "../maths/pose.ts";
import { normalSurvival } from "../maths/statistics.ts";
import type { Said } from "../say/remark.ts";
import type { Remark } from "./codes.ts";
import { droppedPoint, vehicleLines } from "./lines.ts";
import { type VehicleSetup, wheelPlaces } from "./setup.ts";

/** The two ways that are compared, as data. */
export type MethodCode = "method-hub" | "method-point" | "method-axle";

/**
 * Two ways to the same line: a plumb bob from a hub against that wheel's plate, a body centre point
 * against the centreline. Their differences are quantities with uncertainties; a difference that
 * chance alone explains in fewer than one case in a thousand is reported.
 */
interface Comparison {
  readonly key: string;
  readonly what: string;
  readonly said: readonly Said<MethodCode>[];
  evaluate(state: StateView): number;
}

const hubComparisons = (setup: VehicleSetup): Comparison[] =>
  wheelPlaces.flatMap((place) => {
    const wheel = setup.wheels[place];
    const name = wheel?.plumbPoint;
    if (!wheel?.plate || name === undefined) return [];
    return ([0, 1] as const).map((axis) => ({
      key: `method:${place}:${axis}`,
      what:
        `the ${place} hub's dropped point and its wheel plate, ` +
        `${axis === 0 ? "along" : "across"} the car`,
      said: [
        { code: "method-hub" as const, values: { place, way: axis === 0 ? "along" : "across" } },
      ],
      evaluate: (state: StateView) => {
        const { bayFromVehicle, inVehicle } = vehicleLines(state, setup);
        const dropped = transform(invert(bayFromVehicle), droppedPoint(state, setup, name));
        return dropped[axis] - inVehicle.wheels[place].centre[axis];
      },
    }));
  });

/** Names of dropped points of the body's centre: any point named as such. */
const bodyCentre = /^body centre/i;

const centreComparisons = (setup: VehicleSetup): Comparison[] => [
  ...(setup.points ?? [])
    .filter((p) => bodyCentre.test(p.name) && !setup.centreline)
    .map((point) => ({
      key: `method:${point.name}`,
      what: `the dropped point "${point.name}" and the centreline`,
      said: [{ code: "method-point" as const, values: { name: point.name } }],
      evaluate: (state: StateView) => {
        const { bayFromVehicle } = vehicleLines(state, setup);
        return transform(invert(bayFromVehicle), droppedPoint(state, setup, point.name))[1];
      },
    })),
  ...(setup.centreline
    ? (["front", "rear"] as const).map((axle) => ({
        key: `method:${axle} axle midpoint`,
        what: `the ${axle}-axle midpoint and the centreline through the dropped points`,
        said: [{ code: "method-axle" as const, values: { place: axle } }],
        evaluate: (state: StateView) => {
          const lines = vehicleLines(state, setup);
          const mid = axle === "front" ? lines.frontMid : lines.rearMid;
          const { R, t } = lines.bayFromVehicle;
          return dot(sub(mid, t), [R[1], R[4], R[7]]);
        },
      }))
    : []),
];

const disagreeAt = 0.001;

/** Remarks on methods that disagree, and an info where two methods agree. */
export const methodRemarks = (
  solution: { propagate(quantities: readonly Quantity[]): Propagated },
  setup: VehicleSetup,
): Remark[] => {
  const comparisons = [...hubComparisons(setup), ...centreComparisons(setup)];
  if (comparisons.length === 0) return [];
  const { values, covariance } = solution.propagate(comparisons);
  const n = comparisons.length;
  return comparisons.map(({ what }, i) => {
    const sd = Math.sqrt(Math.max(0, covariance[i * n + i]));
    const chance = 2 * normalSurvival(Math.abs(values[i]) / sd);
    const gap = `${Math.abs(values[i]).toFixed(1)} mm apart (standard uncertainty ${sd.toFixed(1)} mm)`;
    return chance < disagreeAt
      ? {
          code: "methods-disagree",
          values: { gap: Math.abs(values[i]), sd, what: comparisons[i].said },
          severity: "warning",
          message: `Two methods disagree: ${what} are ${gap}.`,
          remedy: "Drop the point again and check that the plate sits flat on the rim.",
          about: comparisons[i].key,
        }
      : {
          code: "methods-agree",
          values: { gap: Math.abs(values[i]), sd, what: comparisons[i].said },
          severity: "info",
          message: `Two methods agree: ${what} are ${gap}.`,
          remedy: "",
          about: comparisons[i].key,
        };
  });
};
