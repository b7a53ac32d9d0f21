import { compose, invert, norm, sub } from "../../maths/pose.ts";
import type { Adjusted } from "../adjust.ts";
import type { Remark } from "../problem/codes.ts";
import { boardNumber, photosShow } from "../problem/names.ts";
import type { State } from "../problem/state.ts";
import { coarseViews, type View } from "../start/start.ts";
import type { MovedBoard } from "./moved-boards.ts";

/**
 * One number seen at two places of the bay: two prints of it lie there, or photos of two set-ups were
 * mixed. The contradicting views have almost no weight in the adjustment, or none where their board would lie
 * behind the camera; the second place is computed from such a photo alone.
 */
export interface TwoPlaces {
  readonly board: string;
  /** Between the two places, mm. */
  readonly apartMm: number;
  /** Photos that show it elsewhere than the others do. */
  readonly photos: readonly string[];
}

/** A view with a smaller robust weight (0 to 1) contradicts the others beyond any noise. Our own. */
const oddWeight = 0.02;
/** A photo is placed by its other boards where at least so many of them fit. Our own, no source. */
const fewestOthers = 2;
/** Robust weight (0 to 1) from which a view counts as fitting. Our own, no source. */
const goodWeight = 0.5;
/** Nearer than this share of its width a board was rather touched, bent or misread. Our own. */
const apartShare = 0.5;
/** Width of a board in cells. */
const cellsAcross = 14;

/** Boards that single photos show elsewhere than the adjusted place; `apartMm` is the largest distance. */
export const boardsInTwoPlaces = (adjusted: Adjusted): TwoPlaces[] => {
  const { model, state, weights } = adjusted.internals;
  const { layout, views } = model;
  const fitting = (photo: number): number =>
    views.filter((view, i) => view.photo === photo && weights[i] >= goodWeight).length;
  const odd = views.filter(
    (view, i) => weights[i] < oddWeight && fitting(view.photo) >= fewestOthers,
  );
  if (odd.length === 0) return [];
  const found = new Map<string, { apartMm: number; photos: string[] }>();
  for (const view of coarseViews(
    layout,
    odd.map(({ observation }) => observation),
  )) {
    const [cameraFromBoard] = view.candidates;
    if (!cameraFromBoard || !isElsewhere(view, state)) continue;
    const seen = compose(invert(state.photoPose[view.photo]), cameraFromBoard);
    const apartMm = norm(sub(seen.t, state.boardPose[view.board].t));
    const { key, cellMm } = layout.problem.boards[view.board];
    if (apartMm < apartShare * cellsAcross * cellMm) continue;
    const entry = found.get(key) ?? { apartMm, photos: [] };
    entry.photos.push(layout.problem.photos[view.photo].key);
    found.set(key, { ...entry, apartMm: Math.max(entry.apartMm, apartMm) });
  }
  return [...found].map(([board, entry]) => ({ board, ...entry }));
};

/** The board lies farther from its expected place in the photo than glare or a finger could shift it. */
const isElsewhere = ({ factor, extentPx }: View, state: State): boolean => {
  const off = new Float64Array(factor.observation.pixels.length);
  if (!factor.pixelResiduals(state, off)) return true;
  let [x, y] = [0, 0];
  for (let i = 0; i < off.length; i += 2) {
    x += (2 * off[i]) / off.length;
    y += (2 * off[i + 1]) / off.length;
  }
  return Math.hypot(x, y) > apartShare * extentPx;
};

/** A board that seems to have moved by more than its own width between photos is rather two boards. */
export const isTwoPlaces = (adjusted: Adjusted, moved: MovedBoard): boolean => {
  const { boards } = adjusted.internals.model.layout.problem;
  const board = boards.find(({ key }) => key === moved.board)!;
  return moved.shiftMm > cellsAcross * board.cellMm;
};

export const twoPlacesOf = (adjusted: Adjusted, moved: MovedBoard): TwoPlaces => ({
  board: moved.board,
  apartMm: moved.shiftMm,
  photos: adjusted.internals.model.layout.problem.observations
    .filter(({ board }) => board === moved.earlierKey)
    .map(({ photo }) => photo),
});

export const twoPlacesRemark = ({ board, apartMm, photos }: TwoPlaces): Remark => ({
  code: "board-two-places",
  values: { board: boardNumber(board), apart: apartMm, photos, count: photos.length },
  severity: "warning",
  message:
    `Board ${boardNumber(board)} lies in two places, ${(apartMm / 1000).toFixed(2)} m apart: ` +
    `${photosShow(photos)} it elsewhere than the others.`,
  remedy:
    "Look for a second print of this number and take it out of the bay. If the board was moved, " +
    "take all photos of it again.",
  about: boardNumber(board),
});
