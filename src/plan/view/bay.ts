import type { Pose, Vec3 } from "../../maths/pose.ts";

/**
 * The bay as the plan sees it: vehicle frame (ISO 8855: X ahead, Y left, Z up, origin on the floor
 * below the front-axle midpoint), mm. Rough where nothing is photographed yet, measured afterwards.
 */
export interface PlannedBay {
  readonly boards: readonly PlacedBoard[];
  /** What hides boards and keeps people out. */
  readonly obstacles: readonly Obstacle[];
  /** Wheel centres in plan, and the reference point of the target: what words refer to. */
  readonly landmarks: readonly Landmark[];
  /** Free floor, where the bay's walls are known. */
  readonly room?: Room;
}

export interface PlacedBoard {
  readonly key: string;
  readonly cellMm: number;
  /** vehicleFromBoard. */
  readonly pose: Pose;
}

/** A box; its pose is vehicleFromBox, it reaches from -half to +half along its own axes. */
export interface Obstacle {
  readonly name: "car" | "stand";
  readonly pose: Pose;
  readonly half: Vec3;
}

export type LandmarkName =
  | "front left wheel"
  | "front right wheel"
  | "rear left wheel"
  | "rear right wheel"
  | "stand";

export interface Landmark {
  readonly name: LandmarkName;
  readonly at: readonly [x: number, y: number];
}

export interface Room {
  readonly ahead: number;
  readonly behind: number;
  readonly left: number;
  readonly right: number;
}
