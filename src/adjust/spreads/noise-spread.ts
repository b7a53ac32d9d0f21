import type { Adjusted } from "../adjust.ts";
import { scratch } from "../factors/factor.ts";
import type { ImageFactor } from "../factors/image-factor.ts";
import { localCovariance } from "../propagate/local-covariance.ts";
import { type NoiseParts, whitenedPatterns } from "./field-noise.ts";

/**
 * One step of Helmert's simplified estimate (Foerstner 1979) of the two parts of the views' noise.
 * In units of the whole noise, with r a view's residuals, Q = I - J C J^T their cofactors, A the
 * field's patterns and D = f^2 A A^T its share:
 *
 *   f^2 <- f^2 (sum r^T D r / sum tr D Q),   s^2 <- s^2 (sum r^T (I - D) r / sum tr (I - D) Q).
 *
 * Views that were given less weight do not fit for reasons of their own and do not count. The finder
 * is never thought better than it says: s is at least 1.
 */
export const updateNoise = (
  { internals }: Adjusted,
  { scale, fieldPx }: NoiseParts,
): NoiseParts => {
  const { model, state, weights, factorisation } = internals;
  const covarianceOf = localCovariance(model.equations, factorisation);
  const sum = { field: 0, fieldTrace: 0, own: 0, ownTrace: 0 };
  model.views.forEach((view, i) => {
    if (weights[i] < 1) return;
    const share = sharesOf(view, state, covarianceOf(view), fieldPx);
    if (!share) return;
    sum.field += share.field;
    sum.fieldTrace += share.fieldTrace;
    sum.own += share.own;
    sum.ownTrace += share.ownTrace;
  });
  const ratio = (squares: number, trace: number): number =>
    trace > 1e-3 ? Math.sqrt(squares / trace) : 1;
  return {
    scale: Math.max(1, scale * ratio(sum.own, sum.ownTrace)),
    fieldPx: fieldPx * ratio(sum.field, sum.fieldTrace),
  };
};

interface Shares {
  readonly field: number;
  readonly fieldTrace: number;
  readonly own: number;
  readonly ownTrace: number;
}

/** Squares and cofactor traces of one view, by part. */
const sharesOf = (
  view: ImageFactor,
  state: Adjusted["internals"]["state"],
  covariance: Float64Array,
  fieldPx: number,
): Shares | null => {
  const { rows, width } = view;
  const c = view.innerColumns.length;
  const r = scratch("residuals", rows);
  const inner = scratch("derivatives", rows * c);
  if (!view.inner(state, r, inner)) return null;
  const j = product(inner, view.spread(state), rows, c, width);
  const jc = product(j, covariance, rows, width, width);
  let squares = 0;
  let trace = rows;
  for (let i = 0; i < rows; i++) {
    squares += r[i] ** 2;
    for (let k = 0; k < width; k++) trace -= jc[i * width + k] * j[i * width + k];
  }
  const a = whitenedPatterns(view.observation);
  const patterns = a.length / rows;
  let field = 0;
  let fieldTrace = 0;
  for (let p = 0; p < patterns; p++) {
    let along = 0;
    let own = 0;
    const byUnknown = new Float64Array(width);
    const byCovariance = new Float64Array(width);
    for (let i = 0; i < rows; i++) {
      const f = a[i * patterns + p];
      along += f * r[i];
      own += f * f;
      for (let k = 0; k < width; k++) {
        byUnknown[k] += f * j[i * width + k];
        byCovariance[k] += f * jc[i * width + k];
      }
    }
    field += along ** 2;
    fieldTrace += own;
    for (let k = 0; k < width; k++) fieldTrace -= byUnknown[k] * byCovariance[k];
  }
  field *= fieldPx ** 2;
  fieldTrace *= fieldPx ** 2;
  return { field, fieldTrace, own: squares - field, ownTrace: trace - fieldTrace };
};

/** (rows x inner) times (inner x columns). */
const product = (
  a: Float64Array,
  b: Float64Array,
  rows: number,
  inner: number,
  columns: number,
): Float64Array => {
  const out = new Float64Array(rows * columns);
  for (let i = 0; i < rows; i++)
    for (let k = 0; k < inner; k++) {
      const f = a[i * inner + k];
      if (f === 0) continue;
      for (let c = 0; c < columns; c++) out[i * columns + c] += f * b[k * columns + c];
    }
  return out;
};
