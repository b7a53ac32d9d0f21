import type { Quantity, StateView } from "../adjust/problem/problem.ts";
import { degrees, norm, sub } from "../maths/pose.ts";
import { floorQuantities } from "./floor.ts";
import {
  camberOf,
  headingOf,
  thrustAngleDeg,
  toeOf,
  type VehicleLines,
  vehicleLines,
} from "./lines.ts";
import { type VehicleSetup, type WheelPlace, wheelPlaces } from "./setup.ts";

/**
 * The numbers of the car that are worth reporting: each a function of the state, each with a name
 * for people and the words for its sign. Units mm and degrees.
 */
export interface VehicleNumber {
  readonly key: string;
  readonly label: string;
  readonly unit: "mm" | "deg";
  of(lines: VehicleLines): number;
  /** Words for a value, without its uncertainty. */
  inWords(value: number): string;
}

const mm = (value: number, digits = 1): string => `${Math.abs(value).toFixed(digits)} mm`;
const deg = (value: number): string => `${Math.abs(value).toFixed(2)} degrees`;

/** "0.12 degrees left", or "0.00 degrees" when the value rounds to nothing. */
const signed = (text: string, value: number, positive: string, negative: string): string =>
  /[1-9]/.test(text) ? `${text} ${value > 0 ? positive : negative}` : text;

const spindleNumbers = (place: WheelPlace): VehicleNumber[] => {
  const spindle = (lines: VehicleLines) => {
    const outward = lines.inVehicle.wheels[place].outward;
    if (!outward) throw new Error(`The ${place} wheel has no plate, so it has no spindle.`);
    return outward;
  };
  return [
    {
      key: `toe ${place}`,
      label: `Toe, ${place} wheel`,
      unit: "deg",
      of: (lines) => degrees(toeOf(place, spindle(lines))),
      inWords: (v) => signed(deg(v), v, "toe-in", "toe-out"),
    },
    {
      key: `camber ${place}`,
      label: `Camber, ${place} wheel`,
      unit: "deg",
      of: (lines) => degrees(camberOf(spindle(lines))),
      inWords: (v) => signed(deg(v), v, "top outward", "top inward"),
    },
  ];
};

const axleNumbers = (axle: "front" | "rear"): VehicleNumber[] => {
  const left = `${axle} left` as const;
  const right = `${axle} right` as const;
  return [
    {
      key: `track ${axle}`,
      label: `Track, ${axle} axle`,
      unit: "mm",
      of: ({ inVehicle }) =>
        norm(sub(inVehicle.wheels[left].centre, inVehicle.wheels[right].centre)),
      inWords: (v) => mm(v),
    },
    {
      key: `set-back ${axle}`,
      label: `Set-back, ${axle} axle`,
      unit: "mm",
      of: ({ inVehicle }) => inVehicle.wheels[left].centre[0] - inVehicle.wheels[right].centre[0],
      inWords: (v) => signed(mm(v), v, "right wheel behind", "left wheel behind"),
    },
  ];
};

const totalToe = (axle: "front" | "rear"): VehicleNumber => ({
  key: `total toe ${axle}`,
  label: `Total toe, ${axle} axle`,
  unit: "deg",
  of: ({ inVehicle }) => {
    const left = inVehicle.wheels[`${axle} left`].outward;
    const right = inVehicle.wheels[`${axle} right`].outward;
    if (!left || !right) throw new Error(`The ${axle} axle has no two plates.`);
    return degrees(headingOf(`${axle} right`, right) - headingOf(`${axle} left`, left));
  },
  inWords: (v) => signed(deg(v), v, "toe-in", "toe-out"),
});

const bodyNumbers: readonly VehicleNumber[] = [
  {
    key: "wheelbase",
    label: "Wheelbase, between the axle midpoints",
    unit: "mm",
    of: ({ inVehicle }) => norm(sub(inVehicle.frontMid, inVehicle.rearMid)),
    inWords: (v) => mm(v),
  },
];

const thrustNumbers: readonly VehicleNumber[] = [
  {
    key: "thrust angle",
    label: "Thrust angle against the centreline",
    unit: "deg",
    of: (lines) => {
      const angle = thrustAngleDeg(lines);
      if (angle === null) throw new Error("The thrust line needs plates on both rear wheels.");
      return angle;
    },
    inWords: (v) => signed(deg(v), v, "to the left", "to the right"),
  },
  {
    key: "thrust line at front axle",
    label: "Thrust line beside the front-axle midpoint",
    unit: "mm",
    of: ({ inVehicle }) => {
      const { frontMid, rearMid, thrust } = inVehicle;
      if (!thrust) throw new Error("The thrust line needs plates on both rear wheels.");
      return rearMid[1] + ((frontMid[0] - rearMid[0]) * thrust[1]) / thrust[0] - frontMid[1];
    },
    inWords: (v) => signed(mm(v), v, "left", "right"),
  },
];

/** Which numbers this set-up can give. */
export const vehicleNumbers = (setup: VehicleSetup): VehicleNumber[] => {
  const plated = wheelPlaces.filter((place) => setup.wheels[place]?.plate);
  const both = (axle: "front" | "rear") =>
    plated.includes(`${axle} left`) && plated.includes(`${axle} right`);
  return [
    ...(both("rear") ? thrustNumbers : []),
    ...bodyNumbers,
    ...axleNumbers("front"),
    ...axleNumbers("rear"),
    ...(both("front") ? [totalToe("front")] : []),
    ...(both("rear") ? [totalToe("rear")] : []),
    ...plated.flatMap(spindleNumbers),
  ];
};

/** Keys "vehicle:<number's key>" and, per floor board, "floor:<board>:rise". */
export const vehicleQuantities = (setup: VehicleSetup): Quantity[] => [
  ...vehicleNumbers(setup).map(
    (number): Quantity => ({
      key: `vehicle:${number.key}`,
      evaluate: (state: StateView) => number.of(vehicleLines(state, setup)),
    }),
  ),
  ...floorQuantities(setup.floor),
];
