import { adjust } from "../../adjust/adjust.ts";
import type { Quantity, StateView } from "../../adjust/problem/problem.ts";
import { type Lens, lensOrder, lensSize } from "../../lens/lens.ts";
import { invertPositive } from "../../maths/dense.ts";
import { add, norm, scale, sub } from "../../maths/pose.ts";
import { anyLensSd } from "../estimate/sheet-problem.ts";
import type { LensEffect } from "./lens-effect.ts";
import { referenceBay } from "./reference-bay.ts";
import type { Spread } from "./view-information.ts";

const middle = (state: StateView, a: string, b: string) =>
  scale(add(state.pose(a).t, state.pose(b).t), 0.5);

/** From the middle between the front wheel boards to the middle between the stand's boards. */
const standDistance: Quantity = {
  key: "distance",
  evaluate: (state) =>
    norm(
      sub(
        middle(state, "stand-left", "stand-right"),
        middle(state, "wheel-left-0", "wheel-right-0"),
      ),
    ),
};

/**
 * How this lens's errors would show in a 4 m distance of an ordinary bay: the bay is adjusted with a
 * wide lens prior; from the joint covariance of lens and distance follow the information S on the
 * lens in the bay's own photos and the gain g. Null where the bay cannot be solved with this lens.
 */
export const effectGeometry = (
  lens: Lens,
  width: number,
  height: number,
  spread: Spread,
): LensEffect | null => {
  const lensSd = anyLensSd(lens, 0.1, width);
  const outcome = adjust(referenceBay(lens, width, height, lensSd, spread), { robust: false });
  if (!outcome.ok) return null;
  const lensNumbers = lensOrder.map(
    (name): Quantity => ({ key: name, evaluate: (state) => state.lens("camera")[name] }),
  );
  const { covariance } = outcome.propagate([standDistance, ...lensNumbers]);
  const m = lensSize + 1;
  const ofLens = Float64Array.from(
    { length: lensSize * lensSize },
    (_, at) => covariance[(Math.floor(at / lensSize) + 1) * m + (at % lensSize) + 1],
  );
  const information = invertPositive(ofLens, lensSize);
  if (!information) return null;
  const gain = Float64Array.from(lensOrder, (_, j) => {
    let sum = 0;
    for (let i = 0; i < lensSize; i++) sum += covariance[i + 1] * information[i * lensSize + j];
    return sum;
  });
  for (let i = 0; i < lensSize; i++) information[i * (lensSize + 1)] -= lensSd[i] ** -2;
  return { information, gain };
};
