import type { PhotoOutcome } from "../../src/detect/findings/findings.ts";
import type { CameraKnowledge } from "../../src/job/run/run.ts";
import type { TrueBay, TrueChecks, TruePrint } from "../tools/phone/bay.ts";
import type { Chance } from "../tools/phone/maths.ts";
import type { Session } from "../tools/phone/session.ts";
import type { Shot } from "../tools/phone/shots.ts";
import type { Name } from "./naming.ts";

/** A photo about to be taken: the phone in its place, and the bay as it stands just then. */
export interface Scene {
  shot: Shot;
  bay: TrueBay;
}

/**
 * A job on its way from the bay to the verdict. A fault changes it at one of three times: while the
 * photos are taken, when their features are found, when the job file is written.
 */
export interface Case {
  readonly session: Session;
  readonly chance: Chance;
  /** What the checks must find. */
  truth: TrueChecks;
  scenes: Scene[];
  afterScenes: Scene[];
  sheetScenes: { shot: Shot; print: TruePrint }[];
  /** Found features, filled in after the photos were taken. */
  photos: PhotoOutcome[];
  sheet: PhotoOutcome[];
  /** The job file as JSON. */
  job: RawJob;
  /** What is known of the lens instead of the sheet photos. */
  camera: CameraKnowledge | null;
}

// biome-ignore lint/suspicious/noExplicitAny: a job file as somebody may have written it
export type RawJob = Record<string, any>;

export const families = ["print", "bay", "photo", "camera", "people"] as const;
export type Family = (typeof families)[number];

export interface Fault {
  readonly name: string;
  readonly family: Family;
  /** How it is made. */
  readonly how: string;
  /** What names its cause; one of these has to be said. */
  readonly said: readonly Name[];
  /** Boards that may be accused; where it is given, accusing any other board names the wrong cause. */
  readonly guilty?: readonly number[];
  /** What must not happen. */
  readonly never: string;
  /** No verdict is right here, even where all numbers are: something has to hold it back. */
  readonly neverConfident?: true;
  /** How strong, in the unit that `how` speaks of; weakest first. */
  readonly strengths: readonly number[];
  /** While the photos are taken. */
  readonly taking?: (job: Case, strength: number) => void;
  /** When the features have been found. */
  readonly found?: (job: Case, strength: number) => void;
  /** When the job file is written. */
  readonly written?: (job: Case, strength: number) => void;
  /** Photos of the sample job (counted from 0) that are altered, instead of a simulated bay. */
  readonly picture?: { readonly what: string; readonly which: readonly number[] };
  /** True where it changes the sheet photos, so that the camera step is done anew. */
  readonly camera?: boolean;
}
