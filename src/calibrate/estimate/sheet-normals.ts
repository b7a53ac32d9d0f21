import type { Internals } from "../../adjust/adjust.ts";
import { type SmallFactor, scratch } from "../../adjust/factors/factor.ts";
import type { ImageFactor } from "../../adjust/factors/image-factor.ts";
import { whiten } from "../../adjust/factors/image-factor.ts";
import { cholesky, choleskySolve } from "../../maths/dense.ts";
import { type Features, type Frame, featuresAt, modelSize } from "./remainder-model.ts";

/**
 * Normal equations of one photo over what all photos share: the sheet's shape and the lens numbers
 * first, then the coefficients of the remainder. What belongs to the photo alone (pose, focal change,
 * shift, motion, each with its prior) is eliminated. With x the change of the shared numbers and the
 * photo's own ones at their best,
 *
 *   cost(x) = squares - 2 g^T x + x^T n x.
 */
export interface PhotoNormals {
  readonly n: Float64Array;
  readonly g: Float64Array;
  readonly squares: number;
}

export interface SheetNormals {
  readonly photos: readonly PhotoNormals[];
  /** Priors of sheet and lens. */
  readonly priors: PhotoNormals;
  /** Number of shared unknowns before the coefficients. */
  readonly others: number;
  /** Where the lens numbers' unknowns begin among them; the last of them are the lens's. */
  readonly lensAt: number;
}

/** The board's pose and those of the photos move together: the board's six are held. */
const poseSize = 6;

/** Normal equations at the solution of a sheet adjustment, whose only board and camera come first. */
export const sheetNormals = ({ model, state, weights }: Internals, frame: Frame): SheetNormals => {
  const { layout, views, statements } = model;
  const boardSize = layout.boardBlock[0].size - poseSize;
  const others = boardSize + layout.cameraBlock[0].size;
  const shared = others + modelSize;
  const indexOf = (block: (typeof layout.blocks)[number]) => layout.blocks.indexOf(block);
  const [boardIndex, cameraIndex] = [layout.boardBlock[0], layout.cameraBlock[0]].map(indexOf);
  const photoIndex = layout.photoBlock.map(indexOf);
  /** Place of a block's unknown among (own, shared); -1 where it is held. */
  const place = (block: number, k: number, own: number): number => {
    if (block === boardIndex) return k < poseSize ? -1 : own + k - poseSize;
    if (block === cameraIndex) return own + boardSize + k;
    return k;
  };
  const columnsOf = ({ blocks }: Pick<ImageFactor, "blocks">, own: number): number[] =>
    blocks.flatMap((block) =>
      Array.from({ length: layout.blocks[block].size }, (_, k) => place(block, k, own)),
    );
  const addStatement = (sum: Sums, statement: SmallFactor, own: number): void => {
    const { rows, width } = statement;
    const r = new Float64Array(rows);
    const j = new Float64Array(rows * width);
    statement.residuals(state, r, j);
    addRows(sum, r, j, rows, width, columnsOf(statement, own), 1);
  };
  const photos = views.map((view, i) => {
    const own = layout.photoBlock[view.photo].size;
    const sum = emptySums(own + shared);
    const rows = rowsOf(view, state, frame);
    const columns = columnsOf(view, own);
    for (let k = 0; k < modelSize; k++) columns.push(own + others + k);
    if (rows) addRows(sum, rows.r, rows.j, view.rows, columns.length, columns, weights[i]);
    for (const statement of statements)
      if (statement.blocks[0] === photoIndex[view.photo]) addStatement(sum, statement, own);
    return eliminated(sum, own, shared);
  });
  const priors = emptySums(shared);
  for (const statement of statements)
    if (statement.blocks.every((block) => block === boardIndex || block === cameraIndex))
      addStatement(priors, statement, 0);
  return { photos, priors, others, lensAt: boardSize };
};

interface Sums {
  readonly size: number;
  readonly n: Float64Array;
  readonly g: Float64Array;
  squares: number;
}

const emptySums = (size: number): Sums => ({
  size,
  n: new Float64Array(size * size),
  g: new Float64Array(size),
  squares: 0,
});

/** Adds rows of residuals (computed minus seen) and derivatives; columns at -1 are held. */
const addRows = (
  sum: Sums,
  r: Float64Array,
  j: Float64Array,
  rows: number,
  width: number,
  columns: readonly number[],
  weight: number,
): void => {
  const { size, n, g } = sum;
  for (let i = 0; i < rows; i++) {
    sum.squares += weight * r[i] ** 2;
    for (let a = 0; a < width; a++) {
      const f = weight * j[i * width + a];
      const at = columns[a];
      if (f === 0 || at < 0) continue;
      g[at] -= f * r[i];
      for (let b = 0; b < width; b++)
        if (columns[b] >= 0) n[at * size + columns[b]] += f * j[i * width + b];
    }
  }
};

/**
 * A view's whitened residuals and derivatives: its blocks' unknowns, then the coefficients. Valid until
 * the next view's.
 */
const rowsOf = (
  view: ImageFactor,
  state: Internals["state"],
  frame: Frame,
): { r: Float64Array; j: Float64Array } | null => {
  const { rows, width, observation } = view;
  const c = view.innerColumns.length;
  const r = scratch("residuals", rows);
  const inner = scratch("derivatives", rows * c);
  if (!view.inner(state, r, inner)) return null;
  const spread = view.spread(state);
  const count = observation.pixels.length;
  const raw = scratch("remainder by pixels", count * modelSize).fill(0, 0, count * modelSize);
  for (let i = 0; i < count; i += 2)
    put(raw, i, featuresAt(frame, observation.pixels[i], observation.pixels[i + 1]));
  const white = scratch("remainder", rows * modelSize);
  whiten(observation, raw, count, modelSize, allCoefficients, white);
  const all = width + modelSize;
  const j = scratch("unknowns and remainder", rows * all).fill(0, 0, rows * all);
  for (let i = 0; i < rows; i++) {
    for (let k = 0; k < c; k++) {
      const f = inner[i * c + k];
      if (f !== 0) for (let a = 0; a < width; a++) j[i * all + a] += f * spread[k * width + a];
    }
    j.set(white.subarray(i * modelSize, (i + 1) * modelSize), i * all + width);
  }
  return { r, j };
};

const allCoefficients = Array.from({ length: modelSize }, (_, k) => k);

const put = (raw: Float64Array, row: number, { at, ofX, ofY }: Features): void => {
  at.forEach((k, a) => {
    raw[row * modelSize + k] += ofX[a];
    raw[(row + 1) * modelSize + k] += ofY[a];
  });
};

/** The first `own` unknowns at their best (Schur complement). */
const eliminated = ({ size, n, g, squares }: Sums, own: number, shared: number): PhotoNormals => {
  const factor = new Float64Array(own * own);
  for (let i = 0; i < own; i++) factor.set(n.subarray(i * size, i * size + own), i * own);
  const nothing = { n: new Float64Array(shared * shared), g: new Float64Array(shared), squares: 0 };
  if (cholesky(factor, own).failedAt >= 0) return nothing;
  const gradient = g.slice(0, own);
  choleskySolve(factor, own, gradient);
  const out = { n: nothing.n, g: g.slice(own), squares };
  for (let i = 0; i < own; i++) out.squares -= g[i] * gradient[i];
  for (let b = 0; b < shared; b++) {
    const column = Float64Array.from({ length: own }, (_, i) => n[i * size + own + b]);
    for (let i = 0; i < own; i++) out.g[b] -= column[i] * gradient[i];
    choleskySolve(factor, own, column);
    for (let a = 0; a < shared; a++) {
      let sum = n[(own + a) * size + own + b];
      for (let i = 0; i < own; i++) sum -= n[i * size + own + a] * column[i];
      out.n[a * shared + b] = sum;
    }
  }
  return out;
};
