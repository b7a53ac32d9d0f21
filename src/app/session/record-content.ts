import type { CameraKnowledge } from "../../job/run/run.ts";
import type { RecordContent, RecordedAttachment, RecordedPhoto } from "../../record/revision.ts";
import type { Sha256 } from "../../record/sha256.ts";
import { bayChecks, carChecks, recordChecks } from "../state/check-lists.ts";
import { knownLenses } from "../state/inputs.ts";
import { jobFileInput } from "../state/job-file.ts";
import { type JobState, presentResult } from "../state/job-state.ts";
import { keptBefore } from "../state/steps.ts";
import type { CheckState, PhotoRecord } from "../store/database/schema.ts";

/** What is read from a file when a record is closed. */
export interface SealedFile {
  readonly sha256: Sha256;
  readonly takenAt: string | null;
  readonly zone: string | null;
  readonly software: string | null;
  readonly orientation: number;
}

export type SealedFiles = ReadonlyMap<string, SealedFile>;

const shown = (state: JobState): PhotoRecord[] => state.photos.filter(({ removed }) => !removed);

/** Everything that a job says now, as a record says it. `files`: by id of photo and attachment. */
export function contentOf(state: JobState, files: SealedFiles): RecordContent {
  const { record } = state;
  const { checks: _car, ...car } = record.car;
  const { technician, shop, procedure, note, scanBefore, scanAfter } = record.record;
  const photos = shown(state);
  return {
    title: record.title,
    invented: record.invented,
    car,
    bay: { name: record.bay.name, note: record.bay.note },
    work: { technician, shop, procedure, note, scanBefore, scanAfter },
    checks: [
      ...listed("car", carChecks, record.car.checks, photos),
      ...listed("bay", bayChecks, record.bay.checks, photos),
      ...listed("after", recordChecks, record.record.checks, photos),
    ],
    job: jobFileInput(record, state.photos) as Record<string, unknown>,
    ...camerasOf(state),
    result: presentResult(state)?.result ?? null,
    steps: keptBefore(state).map(({ step, result }) => ({
      id: step.id,
      title: step.title,
      result,
    })),
    standings: [...record.standings],
    watch: [],
    photos: photos.map((photo) => recordedPhoto(photo, fileOf(files, photo.id, photo.name))),
    attachments: record.record.attachments.map(
      ({ id, name, kind, type, byteLength, addedAt }): RecordedAttachment => ({
        name,
        kind,
        type,
        addedAt,
        bytes: byteLength,
        sha256: fileOf(files, id, name).sha256,
      }),
    ),
  };
}

/** The lens of this phone, and those of the others where there are any. */
function camerasOf(state: JobState): Pick<RecordContent, "camera" | "otherCameras"> {
  const { source } = state.record.camera;
  const { camera, otherCameras = [] } = knownLenses(state);
  const alsoOf = camera?.alsoOf;
  return {
    camera: {
      source,
      profile: camera?.profile ?? null,
      ...(alsoOf ? { alsoOf: [...alsoOf] } : {}),
    },
    ...(otherCameras.length > 0 ? { otherCameras: otherCameras.map(recordedCamera) } : {}),
  };
}

const recordedCamera = ({ phone, alsoOf, source, profile }: CameraKnowledge) => ({
  ...(phone === undefined ? {} : { phone }),
  ...(alsoOf ? { alsoOf: [...alsoOf] } : {}),
  source: source === "own photos" ? ("saved profile" as const) : source,
  profile,
});

function fileOf(files: SealedFiles, id: string, name: string): SealedFile {
  const file = files.get(id);
  if (!file) {
    throw new Error(`${name} could not be read.`);
  }
  return file;
}

const recordedPhoto = (photo: PhotoRecord, file: SealedFile): RecordedPhoto => ({
  name: photo.name,
  sha256: file.sha256,
  bytes: photo.byteLength,
  addedAt: photo.addedAt,
  purpose: photo.purpose,
  position: photo.position,
  setup: photo.setup,
  epoch: photo.epoch,
  about: photo.about,
  takenAt: file.takenAt,
  zone: file.zone,
  software: file.software,
  orientation: file.orientation,
});

function listed(
  list: RecordContent["checks"][number]["list"],
  names: readonly string[],
  states: Readonly<Record<string, CheckState>>,
  photos: readonly PhotoRecord[],
): RecordContent["checks"] {
  return names.map((name) => {
    const { state = "open", note = "", photoId = null } = states[name] ?? {};
    const photo = photos.find(({ id }) => id === photoId)?.name ?? null;
    return { list, name, state, note, photo };
  });
}
