import type { LibraryTarget } from "../../placement/target/target-library.ts";
import type { JobFile } from "./job-file.ts";

type JobTarget = JobFile["targets"][number];

/** A target of the shop's library in the words of job.json. */
export const jobTargetOf = (target: LibraryTarget): JobTarget => ({
  name: target.name,
  widthMm: target.widthMm,
  heightMm: target.heightMm,
  referenceInFaceMm: target.referenceInFaceMm,
  feet: target.feet ?? [],
  boards: target.boards.map(({ board, centreInTargetMm, turnDeg, shiftSdMm, turnSdDeg }) => ({
    board: Number(board),
    centreMm: centreInTargetMm,
    turnDeg: {
      aboutX: turnDeg?.aboutX ?? 0,
      aboutY: turnDeg?.aboutY ?? 0,
      aboutZ: turnDeg?.aboutZ ?? 0,
    },
    shiftSdMm,
    turnSdDeg,
  })),
});
