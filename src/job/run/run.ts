import type { PhotoOutcome } from "../../detect/findings/findings.ts";
import type { Lens } from "../../lens/lens.ts";
import type { CameraProfile } from "../../lens/profile.ts";
import type { JobFile } from "../file/job-file.ts";
import type { Remark, RemarkCode } from "../result/remark-codes.ts";
import type { Result } from "../result/result.ts";

/** A file whose bytes are read only when its turn comes. */
export interface PhotoSource {
  readonly name: string;
  read(): Promise<Uint8Array>;
}

export interface JobInput {
  readonly job: JobFile;
  /** Photos of the camera sheet, or a saved profile, or neither (the job calibrates itself). */
  readonly camera:
    | { readonly kind: "sheet"; readonly photos: readonly PhotoSource[] }
    | { readonly kind: "profile"; readonly profile: CameraProfile }
    | { readonly kind: "none" };
  readonly photos: readonly PhotoSource[];
}

/** What the lens is known to be, and how it became known. */
export interface CameraKnowledge {
  readonly profile: CameraProfile;
  readonly source: "sheet photos" | "saved profile" | "own photos";
  readonly remarks: readonly Remark[];
  /** Focal length of the job's photos over the profile's, once it is known: the sheet is nearer. */
  readonly focalRatio?: number;
  /** Leaves out motion, stretch and what is left of the lens; for benches only, see plain-physics.ts. */
  readonly plainPhysics?: boolean;
}

export type CameraAnswer =
  | { readonly ok: true; readonly camera: CameraKnowledge }
  | { readonly ok: false; readonly remarks: readonly Remark[] };

export interface SolveInput {
  readonly job: JobFile;
  readonly camera: CameraKnowledge | null;
  readonly outcomes: readonly PhotoOutcome[];
  readonly measuredAt: string;
}

export type SolveAnswer =
  | { readonly ok: true; readonly result: Result }
  | { readonly ok: false; readonly remarks: readonly Remark[] };

/** What the run needs from its surroundings; workers stand behind most of it. */
export interface JobPorts {
  examine(
    task: { name: string; bytes: Uint8Array; what: "boards" | "sheet"; lens: Lens | null },
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
      times[stage] = Math.round(ports.clock() - start);
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
  const outcomes = await timed("photos", () =>
    examineAll(input.photos, "boards", knowledge?.profile.lens ?? null, ports, options, "photos"),
  );
  options.onProgress?.({ stage: "adjustment", done: 0, of: 1 });
  const answer = await timed("adjustment", () =>
    ports.solve(
      { job: input.job, camera: knowledge, outcomes, measuredAt: ports.today() },
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
  camera: JobInput["camera"],
  ports: Pick<JobPorts, "examine" | "calibrate">,
  options: RunOptions,
): Promise<CameraAnswer | null> => {
  if (camera.kind === "none") return null;
  if (camera.kind === "profile")
    return { ok: true, camera: { profile: camera.profile, source: "saved profile", remarks: [] } };
  const outcomes = await examineAll(camera.photos, "sheet", null, ports, options, "camera photos");
  options.onProgress?.({ stage: "camera", done: 0, of: 1 });
  return ports.calibrate(outcomes, options.signal);
};

/** Examines photos several at once, keeping their order in the answer. */
export const examineAll = async (
  photos: readonly PhotoSource[],
  what: "boards" | "sheet",
  lens: Lens | null,
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
      outcomes[at] = await examineOne(photos[at], what, lens, ports, options.signal);
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
  lens: Lens | null,
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
  return ports.examine({ name: photo.name, bytes, what, lens }, signal);
};
