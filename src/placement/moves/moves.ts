import { degrees, type Vec3 } from "../../maths/pose.ts";
import type { Verdict } from "../decide/conformance.ts";
import type { CheckKind, Step } from "../sheet/sheet.ts";
import type { TargetSetup } from "../target/target.ts";
import { rotationOf } from "../target/target.ts";
import { amount, isNothing } from "../words/words.ts";
import type { Placement } from "./required.ts";

/**
 * From the measured to the required placement in the order in which a person works: turn, then
 * slide, then raise, then level. Only what does not meet is moved. The turn is about the middle of
 * the stand's feet where they are known, else about the reference point; the slide that follows
 * makes good what the turn shifted.
 */
export interface Move {
  readonly order: number;
  readonly kind: "turn" | "slide" | "raise" | "level";
  readonly text: string;
  readonly amount: number;
  readonly unit: "mm" | "deg";
  readonly short: string;
  /** The direction alone, as `short` has it. */
  readonly way: MoveWay;
  /**
   * Where each foot goes in this move alone, from where it stands when its turn comes; the ends of
   * the target where the feet are unknown.
   */
  readonly feet?: readonly FootOfMove[];
}

interface FootOfMove {
  readonly name: string;
  readonly parts: FootPart[];
  /** Where it stands before this move, from the target's reference point: ahead, left, mm. */
  readonly placeMm: readonly [ahead: number, left: number];
}

export type MoveWay =
  | "counter-clockwise"
  | "clockwise"
  | "left"
  | "right"
  | "towards the car"
  | "away from the car"
  | "forward"
  | "rearward"
  | "up"
  | "down"
  | `${"left" | "right"} end up`
  | `face ${"up" | "down"}`
  | `front edge ${"up" | "down"}`;

interface FootPart {
  readonly amountMm: number;
  readonly way: MoveWay;
}

export interface FootMove {
  readonly name: string;
  /** In the axis frame: ahead, left. */
  readonly aheadMm: number;
  readonly leftMm: number;
  readonly parts: FootPart[];
  readonly text: string;
}

export interface MovePlan {
  readonly moves: Move[];
  readonly feet: FootMove[];
}

/** Groups of checks that a move can mend. */
const mendedBy: Readonly<Record<"turn" | "slide" | "raise" | "pitch" | "roll", CheckKind[]>> = {
  turn: ["yaw", "parallel", "mat corner along", "mat corner across"],
  slide: [
    "distance",
    "lateral offset",
    "range",
    "bearing",
    "mat corner along",
    "mat corner across",
  ],
  raise: ["height"],
  pitch: ["pitch"],
  roll: ["roll"],
};

/** Slides and turns smaller than this cannot be set by hand. Common practice, no source. */
const leastMm = 0.5;
const leastDeg = 0.02;

/**
 * The moves from the measured to the required placement, both in the axis frame (mm, rad). A slide
 * goes to the required place in both directions, even where only one of them does not meet.
 */
export const planMoves = (
  measured: Placement,
  required: Placement,
  step: Step,
  target: TargetSetup,
  verdicts: readonly { readonly quantity: string; readonly verdict: Verdict }[],
  where: Side,
): MovePlan => {
  const wanted = (group: keyof typeof mendedBy): boolean =>
    verdicts.some(
      (v) => v.verdict !== "meets" && mendedBy[group].includes(v.quantity as CheckKind),
    );
  const turn = wanted("turn") ? required.yaw - measured.yaw : 0;
  const turned = Math.abs(degrees(turn)) >= leastDeg ? turn : 0;
  const pivot = pivotOf(measured, target, step);
  const after = turnAbout([measured.x, measured.y], pivot, turned);
  const carried = Math.hypot(after[0] - measured.x, after[1] - measured.y) >= leastMm;
  const slide = wanted("slide") || carried;
  const goal: Plan2 = wanted("slide") ? [required.x, required.y] : [measured.x, measured.y];
  const shift: Plan2 = slide ? [goal[0] - after[0], goal[1] - after[1]] : [0, 0];
  const points = pointsOf(target, step);
  const moves = [
    ...turnMoves(turned, points, measured, step, pivot, where),
    ...slideMoves(shift, where),
    ...(wanted("raise") ? raiseMoves(required.z - measured.z) : []),
    ...levelMoves(
      wanted("pitch") ? required.pitch - measured.pitch : 0,
      wanted("roll") ? required.roll - measured.roll : 0,
      step,
      target.widthMm ?? step.target.widthMm,
    ),
  ];
  const feet = footMoves(measured, step, target, pivot, turned, shift, where);
  return { moves: moves.map((m, i) => ({ ...m, order: i + 1 })), feet };
};

type Plan2 = readonly [number, number];
type Unordered = Omit<Move, "order">;

/** Where the target stands against the axles: decides what "towards the car" means. */
export type Side = "ahead" | "behind" | "beside";

const turnAbout = (p: Plan2, pivot: Plan2, angle: number): Plan2 => {
  const [c, s] = [Math.cos(angle), Math.sin(angle)];
  const [dx, dy] = [p[0] - pivot[0], p[1] - pivot[1]];
  return [pivot[0] + c * dx - s * dy, pivot[1] + s * dx + c * dy];
};

/**
 * Where a point of the target (mm, target frame) is with the target as measured: its X (ahead) and
 * Y (left) in the step's axis frame, mm. Its height is left out.
 */
const inPlan = (measured: Placement, step: Step, inTarget: Vec3): Plan2 => {
  const R = rotationOf(step.target.facing, measured.yaw, measured.pitch, measured.roll);
  return [
    measured.x + R[0] * inTarget[0] + R[1] * inTarget[1] + R[2] * inTarget[2],
    measured.y + R[3] * inTarget[0] + R[4] * inTarget[1] + R[5] * inTarget[2],
  ];
};

const pivotOf = (measured: Placement, target: TargetSetup, step: Step): Plan2 => {
  const feet = target.feet ?? [];
  if (feet.length === 0) return [measured.x, measured.y];
  const places = feet.map((f) => inPlan(measured, step, f.inTargetMm));
  return [
    places.reduce((sum, p) => sum + p[0], 0) / feet.length,
    places.reduce((sum, p) => sum + p[1], 0) / feet.length,
  ];
};

interface StandPoint {
  readonly name: string;
  readonly inTargetMm: Vec3;
}

/** What a hand takes hold of: the stand's feet, else the ends of the target; none of unknown size. */
const pointsOf = (target: TargetSetup, step: Step): readonly StandPoint[] => {
  if (target.feet && target.feet.length > 0) return target.feet;
  const width = target.widthMm ?? step.target.widthMm;
  if (width === undefined || step.target.facing === "up") return [];
  const reference = target.referenceInFaceMm?.[0] ?? 0;
  return [
    { name: "left end", inTargetMm: [-width / 2 - reference, 0, 0] },
    { name: "right end", inTargetMm: [width / 2 - reference, 0, 0] },
  ];
};

const turnMoves = (
  angle: number,
  points: readonly StandPoint[],
  measured: Placement,
  step: Step,
  pivot: Plan2,
  where: Side,
): Unordered[] => {
  const value = degrees(angle);
  if (isNothing(value, "deg")) return [];
  const way = value > 0 ? "counter-clockwise" : "clockwise";
  const feet = points.map((point): FootOfMove & { text: string } => {
    const from = inPlan(measured, step, point.inTargetMm);
    const to = turnAbout(from, pivot, angle);
    const { parts, text } = footParts(point.name, to[0] - from[0], to[1] - from[1], where);
    return { name: point.name, parts, text, placeMm: [from[0] - measured.x, from[1] - measured.y] };
  });
  const ends = feet.length > 0 ? ` That is: ${feet.map(({ text }) => text).join("; ")}.` : "";
  return [
    {
      kind: "turn",
      text: `Turn the stand ${amount(value, "deg")} ${way}, seen from above.${ends}`,
      amount: Math.abs(value),
      unit: "deg",
      short: `${Math.abs(value).toFixed(2)}° ${way}`,
      way,
      ...(feet.length > 0
        ? { feet: feet.map(({ name, parts, placeMm }) => ({ name, parts, placeMm })) }
        : {}),
    },
  ];
};

interface WayWords {
  readonly long: string;
  readonly short: MoveWay;
}

const alongWords = (ahead: number, where: Side): WayWords => {
  const forward = ahead > 0;
  if (where === "beside") {
    return forward
      ? { long: "towards the front of the car", short: "forward" }
      : { long: "towards the rear of the car", short: "rearward" };
  }
  const nearer = where === "ahead" ? !forward : forward;
  return nearer
    ? { long: "towards the car", short: "towards the car" }
    : { long: "away from the car", short: "away from the car" };
};

const acrossWords = (left: number): WayWords =>
  left > 0
    ? { long: "to the vehicle's left", short: "left" }
    : { long: "to the vehicle's right", short: "right" };

const slideMoves = (shift: Plan2, where: Side): Unordered[] => {
  const parts = [
    { value: shift[1], words: acrossWords(shift[1]) },
    { value: shift[0], words: alongWords(shift[0], where) },
  ];
  return parts
    .filter((part) => Math.abs(part.value) >= leastMm)
    .map(({ value, words }) => ({
      kind: "slide" as const,
      text: `Slide the stand ${amount(value, "mm")} ${words.long}.`,
      amount: Math.abs(value),
      unit: "mm" as const,
      short: `${Math.abs(value).toFixed(0)} mm ${words.short}`,
      way: words.short,
    }));
};

const raiseMoves = (rise: number): Unordered[] => {
  if (Math.abs(rise) < leastMm) return [];
  const verb = rise > 0 ? "Raise" : "Lower";
  return [
    {
      kind: "raise",
      text: `${verb} the target ${amount(rise, "mm")}.`,
      amount: Math.abs(rise),
      unit: "mm",
      short: `${Math.abs(rise).toFixed(0)} mm ${rise > 0 ? "up" : "down"}`,
      way: rise > 0 ? "up" : "down",
    },
  ];
};

const levelMoves = (
  pitch: number,
  roll: number,
  step: Step,
  widthMm: number | undefined,
): Unordered[] => {
  const mat = step.target.facing === "up";
  const pitchDeg = degrees(pitch);
  const rollDeg = degrees(roll);
  const level = (value: number, text: string, way: MoveWay, raised?: FootOfMove): Unordered[] => {
    const size = Math.abs(value);
    return size < leastDeg
      ? []
      : [
          {
            kind: "level",
            text,
            amount: size,
            unit: "deg",
            short: `${way} ${size.toFixed(2)}°`,
            way,
            ...(raised ? { feet: [raised] } : {}),
          },
        ];
  };
  const end = rollDeg > 0 ? "left" : "right";
  const raised: FootOfMove | undefined =
    widthMm === undefined
      ? undefined
      : {
          name: `${end} end`,
          parts: [{ amountMm: Math.abs(widthMm * Math.sin(roll)), way: "up" }],
          placeMm: [0, (end === "left" ? widthMm : -widthMm) / 2],
        };
  const ends = mat ? `the ${end} edge` : `the ${end} end, seen from the front,`;
  const rise = widthMm === undefined ? "" : ` (${amount(widthMm * Math.sin(roll), "mm")})`;
  const tilt = mat
    ? `${pitchDeg > 0 ? "Lower" : "Raise"} the front edge by ${amount(pitchDeg, "deg")}.`
    : `Tilt the face ${pitchDeg > 0 ? "up" : "down"} by ${amount(pitchDeg, "deg")}.`;
  const tiltWay: MoveWay = mat
    ? `front edge ${pitchDeg > 0 ? "down" : "up"}`
    : `face ${pitchDeg > 0 ? "up" : "down"}`;
  return [
    ...level(
      rollDeg,
      `Raise ${ends} by ${amount(rollDeg, "deg")}${rise}.`,
      `${end} end up`,
      raised,
    ),
    ...level(pitchDeg, tilt, tiltWay),
  ];
};

const footMoves = (
  measured: Placement,
  step: Step,
  target: TargetSetup,
  pivot: Plan2,
  turn: number,
  shift: Plan2,
  where: Side,
): FootMove[] =>
  (target.feet ?? []).map((foot) => {
    const from = inPlan(measured, step, foot.inTargetMm);
    const turned = turnAbout(from, pivot, turn);
    const ahead = turned[0] + shift[0] - from[0];
    const left = turned[1] + shift[1] - from[1];
    return {
      name: foot.name,
      aheadMm: ahead,
      leftMm: left,
      ...footParts(foot.name, ahead, left, where),
    };
  });

/** One foot's way in two parts, along the car and across it; what a hand cannot follow is left out. */
const footParts = (
  name: string,
  ahead: number,
  left: number,
  where: Side,
): { readonly parts: FootPart[]; readonly text: string } => {
  const parts = [
    { amountMm: Math.abs(ahead), words: alongWords(ahead, where) },
    { amountMm: Math.abs(left), words: acrossWords(left) },
  ].filter((p) => p.amountMm >= leastMm);
  const ways = parts.map((p) => `${p.amountMm.toFixed(0)} mm ${p.words.long}`);
  return {
    parts: parts.map(({ amountMm, words }) => ({ amountMm, way: words.short })),
    text: `${name} ${ways.length > 0 ? ways.join(" and ") : "stays"}`,
  };
};
