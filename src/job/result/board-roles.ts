import { boardWords, roleOf } from "../../boards/kit.ts";
import { jobBoard, wheelBoardIds } from "../file/job-boards.ts";
import type { JobFile } from "../file/job-file.ts";
import type { Remark } from "./remark-codes.ts";

/**
 * The kit names a board by the role printed on it; a job may give it another. Sentences say what the
 * board is in this job, so that nobody looks for floor point 3 where a wheel plate is meant.
 */
export const withJobRoles = <R extends Remark>(job: JobFile, remarks: readonly R[]): R[] => {
  const others = boardsOfOtherRole(job);
  if (others.size === 0) return [...remarks];
  return remarks.map((remark) => ({
    ...remark,
    message: inJobWords(remark.message, others),
    remedy: inJobWords(remark.remedy, others),
    ...(remark.values ? { values: withRole(remark.values, others) } : {}),
  }));
};

/** A sentence with the job's role of each board that has another one than the kit's. */
export const inJobWords = (sentence: string, others: ReadonlyMap<number, string>): string => {
  let said = sentence;
  for (const [id, role] of others) {
    said = said.replaceAll(boardWords(id), `board ${id} (${role})`);
    said = said.replaceAll(capital(boardWords(id)), `Board ${id} (${role})`);
  }
  return said;
};

const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);

/** Role in this job by id, of boards that the kit made for something else. */
export const boardsOfOtherRole = (job: JobFile): ReadonlyMap<number, string> => {
  const ids = [
    ...wheelBoardIds(job),
    ...job.boards.exceptions.map(({ id }) => id),
    ...job.targets.flatMap(({ boards }) => boards.map(({ board }) => board)),
  ];
  return new Map(
    [...new Set(ids)].flatMap((id): [number, string][] => {
      const board = jobBoard(job, id);
      return board && board.role !== roleOf(id)?.kind ? [[id, board.role]] : [];
    }),
  );
};

const withRole = (
  values: NonNullable<Remark["values"]>,
  others: ReadonlyMap<number, string>,
): NonNullable<Remark["values"]> => {
  const role = others.get(Number.parseInt(String(values.board ?? ""), 10));
  return role === undefined ? values : { ...values, role };
};
