import type { ScalarStatement } from "../adjust/problem/problem.ts";
import { radians } from "../maths/pose.ts";
import { defaults, type PlateSetup } from "./setup.ts";

/** Not an unknown: a turn of the plate about its own spindle means nothing. */
const held = 0;

/** How a plate sits on its wheel once it is fitted: [tilt x, tilt y, 0, x, y, stand-off], rad and mm. */
export const mountScalars = (key: string, plate: PlateSetup): ScalarStatement => {
  const tilt = radians(plate.tiltSdDeg ?? defaults.tiltSdDeg);
  const centring = plate.centringSdMm ?? defaults.centringSdMm;
  return {
    key,
    mean: [0, 0, 0, 0, 0, plate.standOffMm],
    sd: [tilt, tilt, held, centring, centring, plate.standOffSdMm ?? defaults.standOffSdMm],
    source: "wheel plates",
  };
};
