import type { PhotoOutcome } from "../../detect/findings/findings.ts";
import { parseJobFile } from "../../job/file/parse-job.ts";
import type { TeachInput } from "../../job/teach/teach-target.ts";
import { teachFileSchema } from "../../job/teach/teach-target.ts";
import { byName, cameraKnowledge } from "../state/inputs.ts";
import { jobFileInput } from "../state/job-file.ts";
import { activePhotos, type JobState, openPhotos } from "../state/job-state.ts";
import type { JobRecord, Teaching } from "../store/database/schema.ts";

/** Boards of the kit for stand and pointers (design of the boards: ids and roles). */
export const standIds = [31, 32, 33, 34, 35, 36, 37, 38, 39] as const;
export const pointerIds = [41, 42, 43, 44, 45, 46, 47, 48, 49] as const;

const firstTeaching: Teaching = {
  name: "",
  kind: "board",
  widthMm: null,
  heightMm: null,
  standBoards: [31, 32],
  pointers: { reference: 41, right: 42, above: 43 },
  touchSdMm: 0.5,
  storedAt: "",
};

export const teachingOf = (record: JobRecord): Teaching => record.teaching ?? firstTeaching;

/** Fewer photos hide an error of one of them. */
export const fewestTargetPhotos = 3;

/** What is still to be done before the offsets can be worked out; null where nothing is. */
export function teachingLacks(state: JobState): "name" | "stand" | "photos" | "examining" | null {
  const teaching = teachingOf(state.record);
  if (activePhotos(state, "target").length < fewestTargetPhotos) {
    return "photos";
  }
  if (openPhotos(state, "target").length > 0) {
    return "examining";
  }
  if (teaching.standBoards.length === 0) {
    return "stand";
  }
  return teaching.name.trim() === "" ? "name" : null;
}

const targetOutcomes = (state: JobState): PhotoOutcome[] =>
  activePhotos(state, "target")
    .sort(byName)
    .flatMap((photo) => state.outcomes.get(photo.id)?.outcome ?? []);

/**
 * The photos with what was typed, in the words of teach.json; prints and lengths are those of the
 * job. Null where the entries are no possible ones.
 */
export function teachInput(state: JobState, date: string): TeachInput | null {
  const { widthMm, heightMm, storedAt, name, ...teaching } = teachingOf(state.record);
  const job = parseJobFile({ ...(jobFileInput(state.record, []) as object), placement: "none" });
  const teach = teachFileSchema.safeParse({
    format: "plumbshot-teach",
    version: 1,
    ...teaching,
    name: name.trim(),
    ...(widthMm === null ? {} : { widthMm }),
    ...(heightMm === null ? {} : { heightMm }),
    ...(storedAt.trim() === "" ? {} : { storedAt: storedAt.trim() }),
  });
  if (!job.ok || !teach.success) {
    return null;
  }
  const { boards, lengths } = job.job;
  const outcomes = targetOutcomes(state);
  const seen = new Set(
    outcomes.flatMap((outcome) => (outcome.ok ? outcome.findings.boards.map(({ id }) => id) : [])),
  );
  // Lengths between boards of the bay say nothing about the target.
  const ofTarget = lengths.filter(({ from, to }) => seen.has(from) && seen.has(to));
  return {
    teach: { ...teach.data, boards, lengths: ofTarget },
    camera: cameraKnowledge(state),
    outcomes,
    date,
  };
}
