import { boardWords } from "../../boards/kit.ts";
import type { PhotoFindings, PhotoOutcome } from "../../detect/findings/findings.ts";
import { type JobBoard, jobBoard } from "../file/job-boards.ts";
import type { JobFile } from "../file/job-file.ts";
import type { Remark } from "../result/remark-codes.ts";

/**
 * A board that also shows the right way round was printed well: its mirror image is a reflection in
 * paint or glass, which is harmless since it is left out.
 */
export const softenReflections = (
  remarks: Remark[],
  boards: ReadonlyMap<string, JobBoard>,
): void => {
  for (const [i, remark] of remarks.entries()) {
    if (remark.code !== "mirrored-print") continue;
    const seen = [...boards.values()].find((board) => remark.about === `board ${board.id}`);
    if (!seen) continue;
    const photo = remark.message.split(":")[0];
    remarks[i] = {
      code: "reflection",
      values: { photo, board: seen.id },
      severity: "info",
      message: `${photo}: a reflection of ${boardWords(seen.id)} in paint or glass was left out.`,
      remedy: "",
      about: remark.about,
    };
  }
};

/**
 * Photos of the stand after a move tie it to the old car by the floor boards alone: with fewer than
 * two in view the turn of the stand hangs on one small board.
 */
export const weakStandPhotos = (
  job: JobFile,
  used: ReadonlyMap<string, PhotoFindings>,
): Remark[] => {
  const last = job.standMoves.at(-1);
  return (last?.photos ?? []).flatMap((name) => {
    const floor = used
      .get(name)
      ?.boards.filter((view) => jobBoard(job, view.id)?.role === "floor point").length;
    if (floor === undefined || floor >= 2) return [];
    return [
      {
        code: "stand-photo-weak",
        values: { photo: name, floor },
        severity: "warning" as const,
        message: `${name} shows ${floor === 0 ? "no floor board" : "only one floor board"} beside the moved stand.`,
        remedy: "Take it again with two or more floor boards in view.",
        about: name,
      },
    ];
  });
};

/**
 * Photos that belong to no car position while job.json lists only one. Which side of the car's
 * movement they show nobody can tell, and counted with the listed one they would mix two places of the car.
 */
export const photosOfNoPosition = (job: JobFile, outcomes: readonly PhotoOutcome[]): Remark[] => {
  if (job.positions.length !== 1) return [];
  const [{ name, photos }] = job.positions;
  const elsewhere = new Set([
    ...photos,
    ...job.standMoves.flatMap((move) => move.photos),
    ...(job.after?.photos ?? []),
  ]);
  const unlisted = outcomes
    .map((one) => (one.ok ? one.findings.name : one.name))
    .filter((photo) => !elsewhere.has(photo));
  if (unlisted.length === 0) return [];
  return [
    {
      code: "position-photos-unlisted",
      values: { position: name, names: unlisted, count: unlisted.length },
      severity: "error",
      message:
        `job.json lists only one car position, "${name}", and ${unlisted.length} photos belong to ` +
        `none: ${unlisted.slice(0, 5).join(", ")}${unlisted.length > 5 ? ", ..." : ""}.`,
      remedy:
        "List every position with its photos, the one to be checked first; or take the positions " +
        "out where the car was not moved.",
      about: "positions",
    },
  ];
};

/**
 * Photos that the job puts in a car position, a set-up, with a phone or after the run, and that are not there. A
 * slip in a name would count the real photo with those of the first position before the run.
 */
export const missingPhotos = (job: JobFile, outcomes: readonly PhotoOutcome[]): Remark[] => {
  const there = new Set(outcomes.map((one) => (one.ok ? one.findings.name : one.name)));
  const groups = [
    ...job.positions.map(({ name, photos }) => ({ group: `positions, "${name}"`, photos })),
    ...job.standMoves.map(({ name, photos }) => ({ group: `standMoves, "${name}"`, photos })),
    ...job.phones.map(({ name, photos }) => ({ group: `phones, "${name}"`, photos })),
    ...(job.after ? [{ group: "after", photos: job.after.photos }] : []),
  ];
  return groups.flatMap(({ group, photos }) => {
    const missing = photos.filter((name) => !there.has(name));
    if (missing.length === 0) return [];
    return [
      {
        code: "photos-missing",
        values: { group, names: missing },
        severity: "error" as const,
        message: `job.json names photos that are not there (${group}): ${missing.join(", ")}.`,
        remedy: "Correct the names, letter by letter with their endings, or take them out.",
        about: group,
      },
    ];
  });
};
