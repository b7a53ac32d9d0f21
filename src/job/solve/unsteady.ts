import type { Adjusted } from "../../adjust/adjust.ts";
import type { Diagnosis } from "../../adjust/test/diagnosis.ts";
import { boardWords } from "../../boards/kit.ts";
import { jobBoard, wheelBoardIds } from "../file/job-boards.ts";
import type { JobFile } from "../file/job-file.ts";
import type { Remark } from "../result/remark-codes.ts";
import { turnedStandBoards } from "./turned-stand.ts";

/**
 * A wheel plate, the stand or a dropped point that moved while photos were taken, or a stand board
 * that sits turned: the later place is used, but what else moved with it nobody knows, so nothing
 * counts as proven.
 */
export const unsteady = (job: JobFile, diagnosis: Diagnosis, adjusted: Adjusted): Remark[] => {
  // A board that sits turned fits in no photo: that the last one is odd, too, says nothing more.
  const turned = turnedStandBoards(job, adjusted);
  const known = (board: unknown): boolean => turned.some(({ values }) => values?.board === board);
  return [
    ...turned,
    ...movedBoards(job, diagnosis),
    ...oddLastViews(job, diagnosis, adjusted).filter(({ values }) => !known(values?.board)),
  ];
};

const nameOf = (board: string): string => {
  const words = boardWords(Number.parseInt(board, 10));
  return words.charAt(0).toUpperCase() + words.slice(1);
};

/** Boards that the verdict stands on: a move of any other leaves it as it is. */
const carriesVerdict = (job: JobFile, board: string): boolean => {
  const id = Number.parseInt(board, 10);
  return (
    wheelBoardIds(job).includes(id) ||
    jobBoard(job, id)?.role === "stand" ||
    job.plumbPoints.some((point) => point.board === id)
  );
};

const movedBoards = (job: JobFile, diagnosis: Diagnosis): Remark[] =>
  diagnosis.moved
    .filter(({ board }) => !diagnosis.twice.some((two) => two.board === board))
    .filter(({ board }) => carriesVerdict(job, board))
    .map(({ board }) => ({
      code: "unsteady",
      values: { board },
      severity: "error",
      message: `${nameOf(board)} moved while the photos were taken.`,
      remedy: "Fix it, keep off car and stand, and take all photos of it again.",
      about: board,
    }));

/** A view with less weight contradicts the others beyond noise. */
const oddWeight = 0.5;

/**
 * A move between the last photos: the one view after it does not fit the others, which outvote it
 * although it alone shows the present place. An odd view with good ones after it is only odd.
 */
const oddLastViews = (job: JobFile, diagnosis: Diagnosis, { internals }: Adjusted): Remark[] => {
  const { model, weights } = internals;
  const { views } = model;
  const last = new Map<number, number>();
  views.forEach((view, i) => {
    const known = last.get(view.board);
    if (known === undefined || views[known].photo < view.photo) last.set(view.board, i);
  });
  const suspected = new Set(diagnosis.suspects.flatMap(({ factors }) => factors));
  return [...last.values()]
    .filter((i) => weights[i] < oddWeight || suspected.has(i))
    .map((i) => views[i].observation)
    .filter(({ board }) => carriesVerdict(job, board) && !board.includes("until"))
    .map(({ photo, board }) => ({
      code: "last-view-odd",
      values: { photo, board },
      severity: "warning",
      message:
        `${nameOf(board)} does not lie in photo ${photo}, the last that shows it, ` +
        "where the others show it: it may have moved then.",
      remedy: "Take one more photo of it together with boards that stayed in place.",
      about: photo,
    }));
};
