import { lensSize } from "../../lens/lens.ts";
import type { Layout } from "./layout.ts";
import type { State } from "./state.ts";

/**
 * How a photo's focal change and its two shifts follow the unknowns of the camera while the photo's own
 * focal length and principal point, which are unknowns themselves (moveBlock in state.ts), stay: 3 x
 * free, row-major. Zero for what the photo does not have of its own.
 */
export const changeByCamera = (layout: Layout, state: State, photo: number): Float64Array => {
  const { camera, focal, shift } = layout.photoPlaces[photo];
  const spread = layout.lensSpread[camera];
  const free = spread.length / lensSize;
  const out = new Float64Array(3 * free);
  const [fx, fy] = state.lens.subarray(lensSize * camera, lensSize * camera + 2);
  const byMean = -(1 + state.photoChange[3 * photo]) / (fx + fy);
  for (let k = 0; k < free; k++) {
    if (focal >= 0) out[k] = byMean * (spread[k] + spread[free + k]);
    if (shift < 0) continue;
    out[free + k] = -spread[2 * free + k];
    out[2 * free + k] = -spread[3 * free + k];
  }
  return out;
};
