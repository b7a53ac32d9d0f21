import type { Remark } from "../job/result/remark-codes.ts";
import type { Said } from "../say/remark.ts";
import type { LandmarkName, PlannedBay } from "./view/bay.ts";
import type { Posture } from "./view/standpoints.ts";

/** A photo to take, vehicle frame, mm and degrees. */
export interface Shot {
  readonly number: number;
  readonly at: readonly [x: number, y: number];
  readonly heightMm: number;
  readonly posture: Posture;
  readonly upright: boolean;
  /** Where the phone looks: counter-clockwise from straight ahead, and up. */
  readonly yawDeg: number;
  readonly pitchDeg: number;
  /** Boards that it shows, as the kit numbers them. */
  readonly boards: readonly number[];
  /** The thing nearest to the place, and how far ahead and left of it the place is, mm. */
  readonly near: LandmarkName;
  readonly aheadMm: number;
  readonly leftMm: number;
}

/** What a measured length between two boards would bring to the check that gains most by it. */
export interface LengthWorth {
  readonly from: number;
  readonly to: number;
  readonly check: string;
  readonly unit: "mm" | "deg";
  /** Expanded uncertainty without and with it. */
  readonly without: number;
  readonly with: number;
}

/** One check: how sure it is and will be; all in its unit, expanded (95 %). */
export interface PlannedCheck {
  readonly id: string;
  readonly label: string;
  readonly labelSaid?: Said;
  readonly unit: "mm" | "deg";
  /** What the sheet's tolerance asks for; null where any measurement does. */
  readonly asked: number | null;
  /** With the photos taken so far; null where they do not give it. */
  readonly now: number | null;
  readonly planned: number;
  /** With every photo that could be taken. */
  readonly best: number;
  /** True where no photos bring what is asked; `mostly` says what is in the way. */
  readonly outOfReach: boolean;
  readonly mostly: string;
}

export interface BoardCount {
  readonly board: number;
  readonly key: string;
  /** Photos, from places apart, that show it. */
  readonly seen: number;
}

export interface PhotoPlan {
  readonly basis: "rough" | "measured";
  /** In walking order while nothing is photographed, else the most useful one first. */
  readonly shots: readonly Shot[];
  readonly checks: readonly PlannedCheck[];
  readonly boards: readonly BoardCount[];
  /** How often each board is to be seen. */
  readonly times: number;
  readonly taken: number;
  /** What the first shot brings to the check that lacks most. */
  readonly gain: {
    readonly check: string;
    readonly from: number | null;
    readonly to: number;
  } | null;
  /** True where all that photos can bring is there. */
  readonly enough: boolean;
  /** What one more measured length would bring. */
  readonly length: LengthWorth | null;
  /** Sideways slip of a board between two photos that is sure to be noticed, mm, the worst board's. */
  readonly slipMm: number | null;
  readonly bay: PlannedBay;
}

export type PlanAnswer =
  | { readonly ok: true; readonly plan: PhotoPlan }
  | { readonly ok: false; readonly remarks: readonly Remark[] };
