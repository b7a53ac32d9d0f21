import type { Adjusted } from "../../adjust/adjust.ts";
import { coarseViews, type View } from "../../adjust/start/start.ts";
import { upperMedian } from "../../maths/median.ts";
import { compose, degrees, invert, type Mat3, matMul, transpose } from "../../maths/pose.ts";
import { jobBoard } from "../file/job-boards.ts";
import type { JobFile } from "../file/job-file.ts";
import type { Remark } from "../result/remark-codes.ts";

/**
 * Stand boards that sit another way round than they were taught. Such a board fits in none of its
 * photos, and each of them shows it turned by the same angle in its own plane. It is then one taught
 * board against the others: which of them is right no photo tells.
 */
export const turnedStandBoards = (job: JobFile, { internals }: Adjusted): Remark[] => {
  const { model, state, weights } = internals;
  const { boards } = model.layout.problem;
  return boards.flatMap(({ key }, index) => {
    const id = Number.parseInt(key, 10);
    if (jobBoard(job, id)?.role !== "stand") return [];
    const own = model.views.flatMap((view, i) => (view.board === index ? [{ view, i }] : []));
    const odd = own.filter(({ i }) => weights[i] < outvotedWeight).map(({ view }) => view);
    if (odd.length < fewestViews || 2 * odd.length < own.length) return [];
    const turns = coarseViews(
      model.layout,
      odd.map(({ observation }) => observation),
    ).flatMap((view) => turnOf(view, state) ?? []);
    const turn = upperMedian(turns.map(Math.abs)) ?? 0;
    const agree = turns.filter((one) => Math.abs(Math.abs(one) - turn) < sameTurnDeg);
    if (turn < leastTurnDeg || 2 * agree.length <= odd.length) return [];
    return [remarkOn(key, id, turn)];
  });
};

/** A view with less robust weight (0 to 1) is outvoted. Our own, no source. */
const outvotedWeight = 0.1;
/** One photo may be misread. Our own, no source. */
const fewestViews = 2;
/** A board that was touched turns by less; a wrong way round is a quarter or a half. Our own. */
const leastTurnDeg = 45;
/** Turns from single photos agree within this. Our own, no source. */
const sameTurnDeg = 15;

/** How far a photo alone shows the board turned in its own plane against its adjusted place, degrees. */
const turnOf = (
  { photo, board, candidates }: View,
  state: Adjusted["internals"]["state"],
): number | null => {
  if (candidates.length === 0) return null;
  const seen = compose(invert(state.photoPose[photo]), candidates[0]);
  return inPlane(matMul(transpose(state.boardPose[board].R), seen.R));
};

/** Angle about the third axis, degrees. */
const inPlane = (R: Mat3): number => degrees(Math.atan2(R[3] - R[1], R[0] + R[4]));

const remarkOn = (key: string, id: number, turn: number): Remark => ({
  code: "stand-board-turned",
  values: { board: String(id), turn },
  severity: "error",
  message: `Board ${id} sits turned by ${turn.toFixed(0)} degrees in its plane against how it was taught beside the other stand boards.`,
  remedy: "Fix all stand boards the way up they were taught, or teach the target again.",
  about: key,
});
