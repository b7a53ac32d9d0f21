import type { PhotoOutcome } from "../../detect/findings/findings.ts";
import type { Lens } from "../../lens/lens.ts";
import type { CameraProfile } from "../../lens/profile.ts";
import type { KnownCamera } from "../../lens/which-camera.ts";
import type { JobFile } from "../file/job-file.ts";
import { phoneOf } from "../file/job-phones.ts";
import type { Remark, RemarkCode } from "../result/remark-codes.ts";
import type { Result } from "../result/result.ts";

/** A file whose bytes are read only when its turn comes. */
export interface PhotoSource {
  readonly name: string;
  read(): Promise<Uint8Array>;
}

/** Photos of the camera sheet, or a saved profile, or neither (the job calibrates itself). */
export type CameraSource = (
  | { readonly kind: "sheet"; readonly photos: readonly PhotoSource[] }
  | { readonly kind: "profile"; readonly profile: CameraProfile }
  | { readonly kind: "none" }
) & {
  /** How `phones` in the job calls the phone. */
  readonly phone?: string | undefined;
  /** Further names there whose photos this lens took. */
  readonly alsoOf?: readonly string[] | undefined;
};

export interface JobInput {
  readonly job: JobFile;
  readonly camera: CameraSource;
  /** Lenses of the other phones that took photos of this job. */
  readonly otherCameras?: readonly CameraSource[];
  readonly photos: readonly PhotoSource[];
}

/** What the lens is known to be, and how it became known. */
export interface CameraKnowledge {
  readonly profile: CameraProfile;
  readonly source: "sheet photos" | "saved profile" | "own photos";
  readonly remarks: readonly Remark[];
  /** How `phones` in the job calls the phone; without it the photos belong here that it leaves out. */
  readonly phone?: string;
  /** Further names in `phones` whose photos this lens took. */
  readonly alsoOf?: readonly string[];
  /** Lenses of the job's other phones; every photo is matched to one of them, see which-camera.ts. */
  readonly others?: readonly CameraKnowledge[];
  /** Focal length of the job's photos over the profile's, once it is known: the sheet is nearer. */
  readonly focalRatio?: number;
  /** Leaves out motion, stretch and what is left of the lens; for benches only, see plain-physics.ts. */
  readonly plainPhysics?: boolean;
}

/** All lenses that are known, the job's first one first. */
export const camerasOf = (camera: CameraKnowledge): readonly CameraKnowledge[] => [
  camera,
  ...(camera.others ?? []),
];

export type CameraAnswer =
  | { readonly ok: true; readonly camera: CameraKnowledge }
  | { readonly ok: false; readonly remarks: readonly Remark[] };

export interface SolveInput {
  readonly job: JobFile;
  /** Null where the first phone's lens is to come from the job's own photos. */
  readonly camera: CameraKnowledge | null;
  /** Lenses of the other phones. */
  readonly otherCameras?: readonly CameraKnowledge[];
  readonly outcomes: readonly PhotoOutcome[];
  readonly measuredAt: string;
}

export type SolveAnswer =
  | { readonly ok: true; readonly result: Result }
  | { readonly ok: false; readonly remarks: readonly Remark[] };

/** With which lens a photo is examined. */
export interface LensChoice {
  readonly lens: Lens | null;
  /** Where several are known: the photo's own identity decides between these, not `lens`. */
  readonly cameras?: readonly KnownCamera[];
  /** The phone that the job names for the photo. */
  readonly phone?: string | null;
}

/** What the run needs from its surroundings; workers stand behind most of it. */
export interface JobPorts {
  examine(
    task: { name: string; bytes: Uint8Array; what: "boards" | "sheet" } & LensChoice,
    signal?: AbortSignal,
  ): Promise<PhotoOutcome>;
  calibrate(outcomes: readonly PhotoOutcome[], signal?: AbortSignal): Promise<CameraAnswer>;
  solve(input: SolveInput, signal?: AbortSignal): Promise<SolveAnswer>;
  /** Milliseconds of a steady clock. */
  clock(): number;
  /** ISO 8601 time of the measurement. */
  today(): string;
}

export interface Progress {
  readonly stage: "camera photos" | "camera" | "photos" | "adjustment" | "done";
  readonly done: number;
  readonly of: number;
  readonly outcome?: PhotoOutcome;
}

export interface RunOptions {
  readonly signal?: AbortSignal;
  readonly onProgress?: (progress: Progress) => void;
  /** How many photos are read and examined at once. */
  readonly atOnce?: number;
}

/**
 * The whole measurement: sheet photos -> lens -> job photos -> adjustment and verdict. Expected
 * failures are data; rejects only when cancelled.
 */
export const runJob = async (
  input: JobInput,
  ports: JobPorts,
  options: RunOptions = {},
): Promise<SolveAnswer> => {
  const times: Record<string, number> = {};
  const timed = async <T>(stage: string, work: () => Promise<T>): Promise<T> => {
    const start = ports.clock();
    try {
      return await work();
    } finally {
      times[stage] = (times[stage] ?? 0) + Math.round(ports.clock() - start);
    }
  };
  const refused = (code: RemarkCode, message: string, remedy: string): SolveAnswer => ({
    ok: false,
    remarks: [{ code, severity: "error", message, remedy }],
  });

  if (input.photos.length === 0)
    return refused(
      "no-photos",
      "There is no photo in this job.",
      "Put the photos of the bay into the folder photos/ beside job.json.",
    );
  const camera = await timed("camera", () => knowCamera(input.camera, ports, options));
  if (camera && !camera.ok) return { ok: false, remarks: camera.remarks };
  const knowledge = camera ? camera.camera : null;
  const others = await timed("camera", () => knowOthers(input.otherCameras ?? [], ports, options));
  if (!others.ok) return { ok: false, remarks: others.remarks };
  const lensOf = lensChoice(input.job, knowledge, others.cameras);
  const outcomes = await timed("photos", () =>
    examineAll(input.photos, "boards", lensOf, ports, options, "photos"),
  );
  options.onProgress?.({ stage: "adjustment", done: 0, of: 1 });
  const answer = await timed("adjustment", () =>
    ports.solve(
      {
        job: input.job,
        camera: knowledge,
        ...(others.cameras.length > 0 && { otherCameras: others.cameras }),
        outcomes,
        measuredAt: ports.today(),
      },
      options.signal,
    ),
  );
  options.onProgress?.({ stage: "done", done: 1, of: 1 });
  if (!answer.ok) return answer;
  return {
    ok: true,
    result: { ...answer.result, timesMs: { ...answer.result.timesMs, ...times } },
  };
};

/** What is known of the lens before the photos of the bay; null where nothing is. */
export const knowCamera = async (
  camera: CameraSource,
  ports: Pick<JobPorts, "examine" | "calibrate">,
  options: RunOptions,
): Promise<CameraAnswer | null> => {
  if (camera.kind === "none") return null;
  const { phone, alsoOf } = camera;
  const named = { ...(phone === undefined ? {} : { phone }), ...(alsoOf && { alsoOf }) };
  if (camera.kind === "profile") {
    const { profile } = camera;
    return { ok: true, camera: { profile, source: "saved profile", remarks: [], ...named } };
  }
  const outcomes = await examineAll(
    camera.photos,
    "sheet",
    oneLens(null),
    ports,
    options,
    "camera photos",
  );
  options.onProgress?.({ stage: "camera", done: 0, of: 1 });
  const answer = await ports.calibrate(outcomes, options.signal);
  return answer.ok ? { ok: true, camera: { ...answer.camera, ...named } } : answer;
};

/** The same for the other phones; one whose lens cannot be learnt refuses the job, as the first does. */
export const knowOthers = async (
  sources: readonly CameraSource[],
  ports: Pick<JobPorts, "examine" | "calibrate">,
  options: RunOptions,
): Promise<
  | { readonly ok: true; readonly cameras: readonly CameraKnowledge[] }
  | { readonly ok: false; readonly remarks: readonly Remark[] }
> => {
  const cameras: CameraKnowledge[] = [];
  for (const source of sources) {
    const answer = await knowCamera(source, ports, options);
    if (answer && !answer.ok) return answer;
    if (answer) cameras.push(answer.camera);
  }
  return { ok: true, cameras };
};

/** One lens for every photo, or none. */
export const oneLens =
  (lens: Lens | null): ((photo: string) => LensChoice) =>
  () => ({ lens });

/** With which lens each photo of a job is examined. */
export const lensChoice = (
  job: JobFile,
  camera: CameraKnowledge | null,
  others: readonly CameraKnowledge[],
): ((photo: string) => LensChoice) => {
  const lens = camera?.profile.lens ?? null;
  if (others.length === 0) return oneLens(lens);
  const cameras = [...(camera ? [camera] : []), ...others].map(
    ({ profile, phone, alsoOf }): KnownCamera => ({
      profile,
      ...(phone === undefined ? {} : { phone }),
      ...(alsoOf && { alsoOf }),
    }),
  );
  return (photo) => ({ lens, cameras, phone: phoneOf(job, photo) });
};

/** Examines photos several at once, keeping their order in the answer. */
export const examineAll = async (
  photos: readonly PhotoSource[],
  what: "boards" | "sheet",
  lensOf: (photo: string) => LensChoice,
  ports: Pick<JobPorts, "examine">,
  options: RunOptions,
  stage: "camera photos" | "photos",
): Promise<PhotoOutcome[]> => {
  const outcomes = new Array<PhotoOutcome>(photos.length);
  let next = 0;
  let done = 0;
  const lane = async (): Promise<void> => {
    while (next < photos.length) {
      options.signal?.throwIfAborted();
      const at = next++;
      outcomes[at] = await examineOne(photos[at], what, lensOf, ports, options.signal);
      options.onProgress?.({ stage, done: ++done, of: photos.length, outcome: outcomes[at] });
    }
  };
  options.onProgress?.({ stage, done: 0, of: photos.length });
  await Promise.all(Array.from({ length: options.atOnce ?? 4 }, lane));
  return outcomes;
};

const examineOne = async (
  photo: PhotoSource,
  what: "boards" | "sheet",
  lensOf: (photo: string) => LensChoice,
  ports: Pick<JobPorts, "examine">,
  signal?: AbortSignal,
): Promise<PhotoOutcome> => {
  let bytes: Uint8Array;
  try {
    bytes = await photo.read();
  } catch (error) {
    return {
      ok: false,
      name: photo.name,
      remark: {
        code: "unreadable",
        severity: "error",
        message: `${photo.name} cannot be read: ${error instanceof Error ? error.message : error}.`,
        remedy: "Copy the photo again, or leave it out.",
        about: photo.name,
      },
    };
  }
  return ports.examine({ name: photo.name, bytes, what, ...lensOf(photo.name) }, signal);
};
