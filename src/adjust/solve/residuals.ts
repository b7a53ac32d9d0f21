import type { ImageFactor } from "../factors/image-factor.ts";
import type { State } from "../problem/state.ts";

/** A view that did not fit and was given less weight. It is never dropped. */
export interface DownWeighted {
  readonly photo: string;
  readonly board: string;
  /** 1 = full weight. */
  readonly weight: number;
  readonly residualPx: number;
}

export interface ViewResidual {
  readonly view: ImageFactor;
  readonly sum: number;
  readonly count: number;
}

/** Feature residuals of every view, px, unweighted. */
export const pixelResiduals = (views: readonly ImageFactor[], state: State): ViewResidual[] =>
  views.map((view) => {
    const out = new Float64Array(view.observation.pixels.length);
    // The board would lie behind the camera: there are no residuals.
    if (!view.pixelResiduals(state, out)) return { view, sum: 0, count: 0 };
    return { view, sum: out.reduce((s, v) => s + v * v, 0), count: out.length };
  });

/** Root mean square per coordinate over the chosen views. */
export const rms = (
  residuals: readonly ViewResidual[],
  chosen: (v: ImageFactor) => boolean,
): number => {
  let sum = 0;
  let count = 0;
  for (const r of residuals)
    if (chosen(r.view)) {
      sum += r.sum;
      count += r.count;
    }
  return count > 0 ? Math.sqrt(sum / count) : 0;
};

export const listDownWeighted = (
  views: readonly ImageFactor[],
  weights: Float64Array,
  residuals: readonly ViewResidual[],
): DownWeighted[] =>
  views.flatMap((view, i) =>
    weights[i] < 1 && residuals[i].count > 0
      ? [
          {
            photo: view.observation.photo,
            board: view.observation.board,
            weight: weights[i],
            residualPx: Math.sqrt(residuals[i].sum / residuals[i].count),
          },
        ]
      : [],
  );
