import { symmetricEigen } from "../../maths/dense.ts";

/**
 * Share of a direction's own information below which the rest of the network does not control it.
 * Far above rounding, far below any real control; our own, no source.
 */
const uncontrolled = 1e-7;
/** Stands for a diagonal element of zero, so that its scale stays finite. */
const leastDiagonal = 1e-300;

/**
 * Test value g^T C^-1 g of six possible errors and its degrees of freedom. C (6 x 6, row-major) is their own
 * normal matrix less what the rest of the network takes up; directions that nothing controls are
 * left out. `ownDiagonal` is the diagonal of the own normal matrix, by which turns and shifts are
 * brought to one scale; g is the gradient.
 */
export const controlledForm = (
  control: Float64Array,
  ownDiagonal: ArrayLike<number>,
  g: ArrayLike<number>,
): { value: number; dof: number } => {
  const scale = Float64Array.from(ownDiagonal, (d) => 1 / Math.sqrt(Math.max(d, leastDiagonal)));
  const scaled = control.map((v, i) => v * scale[Math.floor(i / 6)] * scale[i % 6]);
  const { values, vectors } = symmetricEigen(scaled, 6);
  let value = 0;
  let dof = 0;
  for (let k = 0; k < 6; k++) {
    if (values[k] < uncontrolled) continue;
    let along = 0;
    for (let i = 0; i < 6; i++) along += vectors[i * 6 + k] * scale[i] * g[i];
    value += along ** 2 / values[k];
    dof++;
  }
  return { value, dof };
};
