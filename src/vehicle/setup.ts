import type { Pose, Vec3 } from "../maths/pose.ts";

/**
 * What the job says about the car and the floor. Millimetres and degrees: this is the boundary
 * where a person's statements come in.
 *
 * Signs follow ISO 8855: X forward, Y to the vehicle's left, Z up; yaw positive counter-clockwise
 * seen from above. The default standard deviations are common practice without a source.
 */

export const wheelPlaces = ["front left", "front right", "rear left", "rear right"] as const;
export type WheelPlace = (typeof wheelPlaces)[number];

/** A wheel plate: a board held to the rim, its printed face pointing outward from the car. */
export interface PlateSetup {
  /** Board key in the first position, for instance "1". */
  readonly board: string;
  /**
   * From the printed face back to the point that counts as the wheel's centre, along the spindle:
   * to the rim's outer face, or to the wheel's mid-plane. The same choice on both sides of an axle
   * keeps the axle midpoints right.
   */
  readonly standOffMm: number;
  readonly standOffSdMm?: number;
  /** Per direction, between the board's centre and the spindle. Default 1 mm. */
  readonly centringSdMm?: number;
  /** Per direction, between the board's normal and the spindle. Default 0.2 degrees. */
  readonly tiltSdDeg?: number;
}

export interface WheelSetup {
  readonly plate?: PlateSetup;
  /** Name of a point dropped from the hub centre. Alone it replaces the plate, else checks it. */
  readonly plumbPoint?: string;
}

/**
 * A further position of the car: rolled on by about half a turn of the wheels, or wheels turned
 * with the car lifted and set at the same height; or the same plates taken off and fitted once more
 * with nothing else touched. Plate boards in it have the key "<board>@<key>".
 */
export interface PositionSetup {
  readonly key: string;
  readonly kind: "rolled" | "turned" | "refitted";
  /** Approximate forward roll, mm; only a start value. */
  readonly rollMm?: number;
  /** Approximate turn of the wheels seen from the left of the car, degrees, forward positive. */
  readonly turnDeg?: number;
  /** Standard deviation of a steering change of each front wheel. Default 1 degree. */
  readonly steerSdDeg?: number;
}

/** A point of the car brought to the floor with a plumb bob, or touched by a pointer board. */
export interface PointSetup {
  readonly name: string;
  readonly board: string;
  /** The marked point in the board's frame; default its centre. */
  readonly inBoardMm?: Vec3;
  /** Plumbing and marking, per direction in the board's plane. Default 1.5 mm. */
  readonly sdMm?: number;
}

export type FloorSetup =
  /** The bay's plane z = 0, held by the floor statements of these boards. */
  | {
      readonly kind: "boards";
      readonly boards: readonly FloorBoard[];
      readonly unevenSdMm?: number;
    }
  /** No floor boards: the floor is this far below the wheel centres (static loaded radius). */
  | {
      readonly kind: "wheels";
      readonly centreHeightMm: Readonly<Record<WheelPlace, number>>;
      readonly sdMm?: number;
    };

export interface FloorBoard {
  readonly board: string;
  /** Height of the printed face above the floor (thickness of the board). */
  readonly heightMm: number;
}

export interface VehicleSetup {
  readonly wheels: Readonly<Partial<Record<WheelPlace, WheelSetup>>>;
  readonly positions?: readonly PositionSetup[];
  readonly points?: readonly PointSetup[];
  /** Default: through both axle midpoints. Or through two dropped points, rear to front. */
  readonly centreline?: { readonly front: string; readonly rear: string };
  readonly floor: FloorSetup;
}

/** Standard deviations where the job states none: mm and degrees, common practice, no source. */
export const defaults = {
  centringSdMm: 1,
  tiltSdDeg: 0.2,
  standOffSdMm: 0.5,
  pointSdMm: 1.5,
  steerSdDeg: 1,
  unevenSdMm: 1,
  wheelHeightSdMm: 3,
  /** Flex of wheel, clamp and board between two positions. */
  plateFlexDeg: 0.01,
  plateFlexMm: 0.1,
  steerShiftMm: 0.5,
  /** How well a rolled car keeps its height and lean over the floor. */
  rollHeightSdMm: 2,
  rollLeanSdDeg: 0.1,
  /** How well a car stays put while its wheels are turned. */
  turnedShiftSdMm: 3,
  turnedTurnSdDeg: 0.1,
  /** How well it stays put while plates are taken off and fitted again. */
  refittedShiftSdMm: 0.5,
  refittedTurnSdDeg: 0.02,
} as const;

/** Key of a plate board in a position; the first position has no mark. */
export const boardAt = (board: string, position: string): string => `${board}@${position}`;

export const plateKey = (place: WheelPlace): string => `plate:${place}`;
/** How a plate sits after it was fitted again. */
export const refitKey = (position: string, place: WheelPlace): string =>
  `plate@${position}:${place}`;
export const pointKey = (name: string): string => `point:${name}`;
export const motionKey = (position: string): string => `motion@${position}`;
export const spinKey = (position: string, place: WheelPlace): string => `spin@${position}:${place}`;
export const steerKey = (position: string, place: WheelPlace): string =>
  `steer@${position}:${place}`;
export const levelKey = "level";
export const floorAtTargetKey = "floor:target";
export const wheelHeightKey = "floor:wheels";

export const isLeft = (place: WheelPlace): boolean => place.endsWith("left");
export const isFront = (place: WheelPlace): boolean => place.startsWith("front");

/** Start poses known before the adjustment, where they help to begin well. */
export type StartPoses = (key: string) => Pose | undefined;
