import { roleOf } from "../../boards/kit.ts";
import type { JobFile } from "./job-file.ts";

export type JobRole = "wheel plate" | "floor point" | "stand" | "pointer" | "length bar";

/** What one board is in this job: the kit's role unless the job says otherwise. */
export interface JobBoard {
  readonly id: number;
  readonly role: JobRole;
  /** Cell side as designed, mm. */
  readonly designedCellMm: number;
  readonly ignored: boolean;
}

/** The job's view of a tag id; null for ids that neither the kit nor the job knows. */
export const jobBoard = (job: JobFile, id: number): JobBoard | null => {
  const exception = job.boards.exceptions.find((entry) => entry.id === id);
  const role =
    exception?.role ??
    (wheelBoardIds(job).includes(id) ? "wheel plate" : null) ??
    (isStandBoard(job, id) ? "stand" : null) ??
    roleOf(id)?.kind ??
    null;
  if (role === null) return null;
  return {
    id,
    role,
    designedCellMm: exception?.cellMm ?? job.boards.cellMm,
    ignored: exception?.ignore ?? false,
  };
};

const isStandBoard = (job: JobFile, id: number): boolean =>
  job.targets.some((target) => target.boards.some((taught) => taught.board === id));

/** Boards of the wheels: front left, front right, rear left, rear right. */
export const wheelBoardIds = (job: JobFile): number[] => {
  const { frontLeft, frontRight, rearLeft, rearRight } = job.wheelPlates;
  return [frontLeft, frontRight, rearLeft, rearRight];
};
