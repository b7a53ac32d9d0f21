import { ringSaddlePoints, tagOutline } from "../../../src/boards/pattern.ts";
import { findBoards } from "../../../src/detect/find-boards.ts";
import type { BoardView } from "../../../src/detect/findings/findings.ts";
import { featurePoints } from "../../../src/detect/print-fit/print-fit.ts";
import type { TagFinder } from "../../../src/detect/tags/tag-finder.ts";
import { applyHomography, fitHomography } from "../../../src/maths/homography.ts";
import { truePixel } from "../../tools/render-board.ts";
import type { MeasuredCell } from "./cells.ts";
import { type Condition, nameOf } from "./conditions.ts";
import { boardId, errorsAt, type Picture } from "./pictures.ts";
import { Tally } from "./tally.ts";

/** What native_tags.py says of one picture. */
export interface NativeAnswer {
  readonly tags: Record<string, number[] | null>;
  readonly ring: Record<string, number[]>;
}

/** Finds the board in all pictures of a cell and compares it and the native answers with the truth. */
export function measure(
  condition: Condition,
  pictures: readonly Picture[],
  native: readonly NativeAnswer[],
  finder: TagFinder,
  seed: number,
): MeasuredCell {
  const ours = new Tally();
  let [neesSum, boundSquares, weak] = [0, 0, 0];
  for (const picture of pictures) {
    boundSquares += picture.bound ** 2 / pictures.length;
    const found = findBoards(picture.image, finder, { what: "boards", lens: picture.scene.lens });
    const view = found.boards.find((b) => b.id === boardId);
    if (!view) continue;
    const errors = errorsAt(picture, view.boardPoints, view.pixels);
    ours.add(picture.pose, errors);
    neesSum += nees(view, errors);
    if (view.quality.grade !== "good") weak++;
  }
  const known = (x: number) => (Number.isFinite(x) ? x : null);
  return {
    version: 1,
    cellPx: condition.cellPx,
    name: nameOf(condition),
    phone: condition.effect !== undefined,
    tone: condition.tone,
    seeds: [seed],
    pictures: pictures.length,
    found: ours.found,
    rms: ours.found ? ours.rms : 0,
    bias: known(ours.bias),
    bound: known(Math.sqrt(boundSquares)),
    nees: ours.found ? neesSum / ours.found : 0,
    weak,
    best: bestNative(pictures, native),
  };
}

/** The native way with the smallest error of those that found the board in every picture. */
function bestNative(pictures: readonly Picture[], native: readonly NativeAnswer[]) {
  const methods = new Map<string, Tally>();
  const add = (name: string, picture: Picture, errors: Float64Array | null) => {
    const tally = methods.get(name) ?? new Tally();
    methods.set(name, tally);
    if (errors) tally.add(picture.pose, errors);
  };
  pictures.forEach((picture, k) => {
    for (const [name, corners] of Object.entries(native[k].tags))
      if (corners) {
        const errors = errorsAt(picture, tagOutline, inBoardOrder(picture, corners));
        add(`${name} (tag corners)`, picture, errors);
      }
    for (const [window, ring] of Object.entries(native[k].ring))
      add(`OpenCV saddles window ${window}`, picture, gridFromRing(picture, ring));
  });
  const complete = [...methods].filter(([, t]) => t.found === pictures.length);
  const [name, tally] = complete.sort(([, a], [, b]) => a.rms - b.rms)[0];
  return { name, rms: tally.rms };
}

/** Saddle points of the ring to grid points by a homography (lens known): the best native way. */
function gridFromRing(picture: Picture, ring: readonly number[]): Float64Array | null {
  const h = fitHomography(ringSaddlePoints(), picture.map.toPlane(ring));
  if (!h) return null;
  const pixels = featurePoints.flatMap(([x, y]) =>
    picture.map.fromPlane(...applyHomography(h, x, y)),
  );
  return errorsAt(picture, featurePoints.flat(), pixels);
}

/** Corners in the order of the board, whatever order a library reports. */
function inBoardOrder(picture: Picture, corners: readonly number[]): Float64Array {
  const ordered = new Float64Array(8);
  for (let k = 0; k < 4; k++) {
    const [x, y] = truePixel(
      picture.scene,
      picture.print,
      tagOutline[2 * k],
      tagOutline[2 * k + 1],
    );
    let best = 0;
    for (let m = 1; m < 4; m++)
      if (
        Math.hypot(corners[2 * m] - x, corners[2 * m + 1] - y) <
        Math.hypot(corners[2 * best] - x, corners[2 * best + 1] - y)
      )
        best = m;
    ordered[2 * k] = corners[2 * best];
    ordered[2 * k + 1] = corners[2 * best + 1];
  }
  return ordered;
}

/** Errors squared over their stated variance, per degree of freedom. */
function nees(view: BoardView, errors: Float64Array): number {
  if (view.noise.kind === "isotropic")
    return errors.reduce((s, e) => s + e * e, 0) / errors.length / view.noise.sigmaPx ** 2;
  const { rows, sqrtInformation: w } = view.noise;
  let sum = 0;
  for (let r = 0; r < rows; r++) {
    let d = 0;
    for (let i = 0; i < errors.length; i++) d += w[r * errors.length + i] * errors[i];
    sum += (d * d) / rows;
  }
  return sum;
}
