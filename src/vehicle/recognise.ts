import { add, cross, dot, type Pose, scale, sub, unit, type Vec3 } from "../maths/pose.ts";
import type { Remark } from "./codes.ts";
import { isFront, isLeft, type StartPoses, type WheelPlace, wheelPlaces } from "./setup.ts";

/**
 * Are the wheel boards where the job says they are? Recognised by geometry alone: printed faces look
 * outward, the wheelbase is longer than the track, and front, left and up make a right-handed
 * frame. Of the 24 ways to give four boards four places only two fit, half a turn apart; where the
 * target stands tells which.
 */
export type BoardsOfWheels = Readonly<Record<WheelPlace, string>>;

export interface Recognition {
  /** Places that fit the geometry; null when none does. */
  readonly fitting: BoardsOfWheels | null;
  readonly remarks: readonly Remark[];
}

/**
 * `claimed` says which board is on which wheel, by the job; `up` is the floor's normal; `ahead` a point that
 * must lie ahead of the front axle (the target of a step that stands ahead), where there is one.
 */
export const recogniseWheels = (
  claimed: BoardsOfWheels,
  poses: StartPoses,
  up: Vec3,
  ahead: Vec3 | null,
): Recognition => {
  const boards = wheelPlaces.map((place) => claimed[place]);
  const known = boards.map((board) => poses(board));
  if (known.some((pose) => pose === undefined)) return { fitting: null, remarks: [] };
  const pose = (board: string): Pose => {
    const found = poses(board);
    if (!found) throw new Error(`No pose of board ${board}.`);
    return found;
  };
  const fits = (order: BoardsOfWheels): boolean =>
    fitsGeometry(order, pose, up) && (ahead === null || isAhead(order, pose, ahead));
  const upsideDown = boards.filter((board) => dot(upOf(pose(board)), up) < -0.5);
  const remarks: Remark[] = upsideDown.map((board) => ({
    code: "wheel-board-upside-down",
    values: { board },
    severity: "info",
    message: `Wheel board ${board} is upside down.`,
    remedy: "The measurement allows it; check that it is the board of this wheel.",
    about: board,
  }));
  if (fits(claimed)) return { fitting: claimed, remarks };
  const fitting = permutations(boards).map(toPlaces).find(fits) ?? null;
  return { fitting, remarks: [...remarks, swapRemark(claimed, fitting)] };
};

const upOf = ({ R }: Pose): Vec3 => [R[1], R[4], R[7]];
const faceOf = ({ R }: Pose): Vec3 => [R[2], R[5], R[8]];
const mean = (a: Vec3, b: Vec3): Vec3 => scale(add(a, b), 0.5);

const fitsGeometry = (order: BoardsOfWheels, pose: (board: string) => Pose, up: Vec3): boolean => {
  const at = (place: WheelPlace) => pose(order[place]).t;
  const front = mean(at("front left"), at("front right"));
  const rear = mean(at("rear left"), at("rear right"));
  const left = mean(at("front left"), at("rear left"));
  const right = mean(at("front right"), at("rear right"));
  const forward = sub(front, rear);
  const leftward = sub(left, right);
  if (dot(forward, forward) < dot(leftward, leftward)) return false;
  if (dot(cross(forward, leftward), up) <= 0) return false;
  const side = unit(leftward);
  return wheelPlaces.every(
    (place) => dot(faceOf(pose(order[place])), side) * (isLeft(place) ? 1 : -1) > 0.5,
  );
};

const isAhead = (order: BoardsOfWheels, pose: (board: string) => Pose, ahead: Vec3): boolean => {
  const at = (place: WheelPlace) => pose(order[place]).t;
  const front = mean(at("front left"), at("front right"));
  const rear = mean(at("rear left"), at("rear right"));
  return dot(sub(ahead, front), sub(front, rear)) > 0;
};

const permutations = (items: readonly string[]): string[][] =>
  items.length <= 1
    ? [[...items]]
    : items.flatMap((item, i) =>
        permutations([...items.slice(0, i), ...items.slice(i + 1)]).map((rest) => [item, ...rest]),
      );

const toPlaces = (boards: readonly string[]): BoardsOfWheels => ({
  "front left": boards[0],
  "front right": boards[1],
  "rear left": boards[2],
  "rear right": boards[3],
});

export type SwapCode = "board-on-wheel";

const swapRemark = (claimed: BoardsOfWheels, fitting: BoardsOfWheels | null): Remark => {
  if (!fitting) {
    return {
      code: "wheel-boards-no-fit",
      severity: "error",
      message:
        "The four wheel boards do not lie like the wheels of a car: faces outward, two and two.",
      remedy: "Check which board is on which wheel, and that each printed face looks outward.",
      about: "wheels",
    };
  }
  const changed = wheelPlaces.filter((place) => claimed[place] !== fitting[place]);
  const pairs = changed.map((place) => `board ${fitting[place]} seems to be ${where(place)}`);
  return {
    code: "wheel-boards-swapped",
    values: {
      how: swapKind(changed, claimed, fitting),
      pairs: changed.map((place) => ({
        code: "board-on-wheel" satisfies SwapCode,
        values: { board: fitting[place], place },
      })),
    },
    severity: "error",
    message:
      `Wheel boards are ${swapKind(changed, claimed, fitting)}: ${pairs.join("; ")}. ` +
      "With the places as stated the car would be mirrored or face away from the target.",
    remedy: "Put each board on its own wheel, or state in the job which board is on which wheel.",
    about: "wheels",
  };
};

const where = (place: WheelPlace): string => `on the ${place} wheel`;

const swapKind = (
  changed: readonly WheelPlace[],
  claimed: BoardsOfWheels,
  fitting: BoardsOfWheels,
): string => {
  const placeIn = (order: BoardsOfWheels, board: string) =>
    wheelPlaces.find((place) => order[place] === board) ?? "front left";
  const moves = changed.map((place) => ({
    from: place,
    to: placeIn(fitting, claimed[place]),
  }));
  const acrossOnly = moves.every((m) => isFront(m.from) === isFront(m.to));
  const alongOnly = moves.every((m) => isLeft(m.from) === isLeft(m.to));
  if (acrossOnly) return "swapped left and right";
  if (alongOnly) return "swapped front and rear";
  return "swapped";
};
