import type { Propagated, Quantity, StateView } from "../adjust/problem/problem.ts";
import { betweenDirections } from "../maths/angles.ts";
import { degrees, radians } from "../maths/pose.ts";
import type { Degrees, Radians } from "../maths/units.ts";
import type { Remark } from "./codes.ts";
import {
  boardAt,
  defaults,
  plateKey,
  spinKey,
  type VehicleSetup,
  type WheelPlace,
  wheelPlaces,
} from "./setup.ts";

/**
 * After the adjustment: did the wheels turn enough between the positions, and does every plate sit
 * as the priors say? A plate that slipped or was knocked between positions shows as a tilt or a
 * centring far outside its prior, because no other unknown can absorb it.
 */
interface Solution {
  readonly state: StateView;
  propagate(quantities: readonly Quantity[]): Propagated;
}

/** Remarks on turns between positions and on how the plates sit; `present` says which boards were seen. */
export const positionRemarks = (
  solution: Solution,
  setup: VehicleSetup,
  present: (board: string) => boolean,
): Remark[] => [...turnRemarks(solution.state, setup, present), ...plateRemarks(solution, setup)];

/** Below this turn of the wheels, run-out is hardly removed, degrees. Common practice: half a turn. */
const enoughTurnDeg = 60;
const goodTurnDeg = 120;

/** Turn of a wheel folded to 0 .. 180 degrees: what counts for the run-out. */
export const foldedTurnDeg = (spinRad: Radians): Degrees => betweenDirections(degrees(spinRad), 0);

const turnRemarks = (
  state: StateView,
  setup: VehicleSetup,
  present: (board: string) => boolean,
): Remark[] =>
  (setup.positions ?? []).flatMap((position) => {
    // Plates that were fitted again say something at any turn of the wheel.
    if (position.kind === "refitted") return [];
    const turns = wheelPlaces.flatMap((place) => {
      const board = setup.wheels[place]?.plate?.board;
      return board !== undefined && present(boardAt(board, position.key))
        ? [foldedTurnDeg(state.scalars(spinKey(position.key, place))[0])]
        : [];
    });
    if (turns.length === 0) return [];
    const least = Math.min(...turns);
    if (least >= goodTurnDeg) return [];
    return [
      {
        code: "rolled-too-little",
        values: { position: position.key, turn: least },
        severity: least < enoughTurnDeg ? ("warning" as const) : ("info" as const),
        message:
          `Between the first position and "${position.key}" a wheel turned by only ` +
          `${least.toFixed(0)} degrees, so little of the plates' run-out drops out.`,
        remedy: "Roll on until the wheels have turned by about half a turn.",
        about: position.key,
      },
    ];
  });

const numbersOfPlate = ["tilt", "tilt", "centring", "centring"] as const;
const places = [0, 1, 3, 4] as const;

/** A departure beyond this many prior standard deviations is told. Two-sided 0.05 % per number. */
const farOut = 3.5;

const plateRemarks = (solution: Solution, setup: VehicleSetup): Remark[] => {
  if ((setup.positions ?? []).length === 0) return [];
  return wheelPlaces.flatMap((place) => {
    const plate = setup.wheels[place]?.plate;
    if (!plate) return [];
    const tilt = radians(plate.tiltSdDeg ?? defaults.tiltSdDeg);
    const centring = plate.centringSdMm ?? defaults.centringSdMm;
    const values = solution.state.scalars(plateKey(place));
    const departures = places.map((i, k) => values[i] / (k < 2 ? tilt : centring));
    const worst = departures.reduce(
      (best, v, k) => (Math.abs(v) > Math.abs(departures[best]) ? k : best),
      0,
    );
    if (Math.abs(departures[worst]) < farOut) return [];
    return [plateRemark(place, plate.board, numbersOfPlate[worst], values, places[worst])];
  });
};

const plateRemark = (
  place: WheelPlace,
  board: string,
  what: "tilt" | "centring",
  values: ArrayLike<number>,
  at: number,
): Remark => ({
  code: "plate-sits-badly",
  values: {
    place,
    what,
    amount: what === "tilt" ? Math.abs(degrees(values[at])) : Math.abs(values[at]),
    unit: what === "tilt" ? "deg" : "mm",
  },
  severity: "warning",
  message:
    what === "tilt"
      ? `The plate on the ${place} wheel is tilted by ${Math.abs(degrees(values[at])).toFixed(2)} ` +
        "degrees, far more than stated: it sits badly, or it slipped between the positions."
      : `The plate on the ${place} wheel is ${Math.abs(values[at]).toFixed(1)} mm off the ` +
        "spindle, far more than stated: it sits badly, or it slipped between the positions.",
  remedy: "Seat the plate again and photograph both positions again.",
  about: board,
});
