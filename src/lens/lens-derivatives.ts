import { type Lens, lensFromVector, lensSize, lensToVector, project, unproject } from "./lens.ts";

/** Steps of the central differences: px for the pinhole numbers, else a change of the distortion. */
const pinholeStep = 1e-2;
const distortionStep = 1e-6;

/**
 * Derivatives of where a line of sight is seen by the lens numbers, 2 x 9 row-major in lensOrder, for
 * the line that is seen at pixel (x, y); null where the lens folds back there.
 */
export const lensDerivatives = (lens: Lens, x: number, y: number): Float64Array | null => {
  const along = unproject(lens, x, y);
  if (!along) return null;
  const out = new Float64Array(2 * lensSize);
  const numbers = lensToVector(lens);
  for (let i = 0; i < lensSize; i++) {
    const step = i < 4 ? pinholeStep : distortionStep;
    const seenWith = (change: number): readonly [number, number] => {
      const moved = numbers.slice();
      moved[i] += change;
      return project(lensFromVector(moved), [along[0], along[1], 1])!;
    };
    const [after, before] = [seenWith(step), seenWith(-step)];
    out[i] = (after[0] - before[0]) / (2 * step);
    out[lensSize + i] = (after[1] - before[1]) / (2 * step);
  }
  return out;
};
