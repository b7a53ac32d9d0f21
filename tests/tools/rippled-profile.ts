import type { CameraProfile } from "../../src/lens/profile.ts";
import type { LensRemainder } from "../../src/lens/remainder.ts";

/** A radial ripple of some pixels that Brown's numbers do not follow, with one mode of doubt. */
export const ripple = ({ lens, identity: { width, height } }: CameraProfile): LensRemainder => {
  const cells = 10;
  const corner = Math.hypot(width, height) / 2;
  const general = new Array(8).fill(0);
  const radialPx = Array.from({ length: cells + 3 }, (_, k) => 4 * Math.sin(1.3 * k));
  return {
    centre: [lens.cx, lens.cy],
    radialStepPx: corner / cells,
    radialUnitPx: corner,
    radialPx,
    columns: 1,
    rows: 1,
    alongX: [...general, ...general],
    alongY: [...general, ...general],
    sdPx: [0, 0, 0, 0],
    modes: [
      {
        radialPx: radialPx.map((x) => 1e-3 * x),
        alongX: [...general, ...general],
        alongY: [...general, ...general],
        lens: new Array(9).fill(0),
      },
    ],
  };
};

export const withRipple = (profile: CameraProfile): CameraProfile => ({
  ...profile,
  remainder: ripple(profile),
});
