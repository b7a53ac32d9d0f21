import type { SheetDraft, StepDraft } from "../../../placement/sheet/draft.ts";
import type { CheckKind } from "../../../placement/sheet/sheet.ts";

/**
 * The sheet's drawing: side view over plan, the car's front to the right, not to scale. Numbers are
 * units of the drawing, 360 wide. What can be asked for has a spot where it is tapped.
 */
export const sceneWidth = 360;
export const sceneHeight = 288;

export interface Spot {
  readonly kind: CheckKind;
  /** Where the balloon sits. */
  readonly x: number;
  readonly y: number;
  /** Dimension line with its arrows and extension lines. */
  readonly lines: string;
  /** Where the value stands. */
  readonly text: readonly [x: number, y: number, anchor: "start" | "middle" | "end"];
}

export interface Scene {
  /** The car as a thin dashed outline: the tool does not know the body. */
  readonly phantom: string;
  readonly wheels: string;
  readonly floor: string;
  readonly centre: string;
  /** The target and its stand. */
  readonly target: string;
  readonly stand: string;
  readonly spots: readonly Spot[];
  readonly noseX: number;
  /** Middle of the view from the front, null where there is none. */
  readonly frontView: number | null;
}

const floorY = 112;
const midY = 215;
/** From the car's rear end: its axles and its nose. */
const rearAxle = 24;
const frontAxle = 94;
const nose = 118;

const arrow = (x: number, y: number, dx: number, dy: number): string =>
  `M${x} ${y}l${-7 * dx - 3 * dy} ${-7 * dy - 3 * dx}M${x} ${y}l${-7 * dx + 3 * dy} ${-7 * dy + 3 * dx}`;
const across = (x1: number, x2: number, y: number): string =>
  `M${x1} ${y}H${x2}${arrow(x1, y, Math.sign(x1 - x2), 0)}${arrow(x2, y, Math.sign(x2 - x1), 0)}`;
const upright = (x: number, y1: number, y2: number): string =>
  `M${x} ${y1}V${y2}${arrow(x, y1, 0, Math.sign(y1 - y2))}${arrow(x, y2, 0, Math.sign(y2 - y1))}`;

const carSide = (x: number): string => `M${x} 100V78l20-8 14-20h44l16 20 ${nose - 94} 10v20z`;
const carPlan = (x: number): string =>
  `M${x + 4} 186H${x + 104}q12 4 14 29q-2 25-14 29H${x + 4}q-4-29 0-58z`;
const wheelsOf = (x: number): string =>
  [rearAxle, frontAxle]
    .flatMap((at) => [
      `M${x + at - 12} 100a12 12 0 1 0 24 0a12 12 0 1 0-24 0`,
      `M${x + at - 10} 181h20v7h-20zM${x + at - 10} 242h20v7h-20z`,
    ])
    .join("");
const axles = (x: number): string =>
  [rearAxle, frontAxle].map((at) => `M${x + at} 174V256`).join("");

type Layout = "ahead" | "behind" | "mat";

/** Where the target of this step belongs in the drawing. */
const layoutOf = (step: StepDraft): Layout =>
  step.target.facing === "up" ? "mat" : step.target.facing === "rearward" ? "ahead" : "behind";

/** Where distances start, from the car's rear end. */
const originX = ({ origin }: SheetDraft): number =>
  origin.kind === "rear-axle line"
    ? rearAxle
    : origin.kind === "front-axle line"
      ? frontAxle
      : nose;

export function sceneOf(draft: SheetDraft, step: StepDraft): Scene {
  const layout = layoutOf(step);
  const car = layout === "behind" ? 146 : 8;
  const shared = {
    phantom: `${carSide(car)}${carPlan(car)}`,
    wheels: wheelsOf(car),
    floor: `M4 ${floorY}H256`,
    centre: `M4 ${midY}H352${axles(car)}`,
    noseX: car + nose,
  };
  return layout === "mat"
    ? { ...shared, ...matParts(car + originX(draft)) }
    : { ...shared, ...standParts(layout === "ahead" ? 212 : 52, car, car + originX(draft), step) };
}

type Parts = Pick<Scene, "target" | "stand" | "spots" | "frontView">;

function standParts(x: number, car: number, origin: number, step: StepDraft): Parts {
  const out = x > car ? 1 : -1;
  const corner = step.target.kind === "corner reflector";
  const heightX = x + 26 * out;
  const common: Spot[] = [
    {
      kind: "height",
      x: heightX,
      y: 86,
      lines: `M${x} 60H${heightX + 6 * out}${upright(heightX, 60, floorY)}`,
      text: [heightX, 135, "middle"],
    },
  ];
  const planTarget = corner ? `M${x - 9} 174l9 9l-9 9M${x} 183h10` : `M${x} 160V206`;
  return {
    target: `${corner ? `M${x - 8} 50l8 10l-8 10` : `M${x} 44V76`}${planTarget}${corner ? "" : "M274 44h68v36h-68z"}`,
    stand: `M${x} 76V${floorY}M${x - 14} ${floorY}h28${corner ? "" : `M308 80V${floorY}M284 ${floorY}h48`}`,
    frontView: corner ? null : 308,
    spots: corner
      ? [...common, ...polarSpots(x, car + rearAxle)]
      : [...common, ...squareSpots(x, out, origin)],
  };
}

/** Range and bearing from the middle of the rear axle. */
const polarSpots = (x: number, from: number): Spot[] => {
  const middle = (x + from) / 2;
  return [
    {
      kind: "range",
      x: middle + 10,
      y: 178,
      lines: `M${from} ${midY}L${x + 4} 185`,
      text: [middle + 10, 162, "middle"],
    },
    {
      kind: "bearing",
      x: middle + 14,
      y: 238,
      lines: `M${x + 30} ${midY}a90 90 0 0 1 3-22`,
      text: [middle + 14, 268, "middle"],
    },
  ];
};

/** What is asked for a target that stands square to the car. */
const squareSpots = (x: number, out: 1 | -1, origin: number): Spot[] => [
  {
    kind: "distance",
    x: (x + origin) / 2,
    y: 128,
    lines: `M${origin} ${floorY - 20}V134M${x} ${floorY}V134${across(origin, x, 128)}`,
    text: [(x + origin) / 2 - 16 * out, 152, "middle"],
  },
  {
    kind: "lateral offset",
    x: x + 34 * out,
    y: 199,
    lines: `M${x} 183h${40 * out}${upright(x + 34 * out, 183, midY)}`,
    text: [x + 34 * out, 234, "middle"],
  },
  {
    kind: "yaw",
    x: x - 30 * out,
    y: 180,
    lines: `M${x - 9 * out} 162L${x + 9 * out} 204M${x} 166a20 20 0 0 ${out > 0 ? 0 : 1} ${-7 * out} 2`,
    text: [x - 30 * out, 210, "middle"],
  },
  {
    kind: "pitch",
    x: x,
    y: 24,
    lines: `M${x} 76L${x - 10 * out} 42M${x} 48a30 30 0 0 ${out > 0 ? 0 : 1} ${-8 * out} 1`,
    text: [x - 22 * out, 28, out > 0 ? "end" : "start"],
  },
  {
    kind: "roll",
    x: 308,
    y: 62,
    lines: "M266 62H350M270 70 346 54",
    text: [308, 132, "middle"],
  },
];

/** A mat on the floor ahead of the car, its upper edge away from the car. */
const matParts = (origin: number): Parts => ({
  target: "M214 168h100v94H214zM214 109h100",
  stand: "",
  frontView: null,
  spots: [
    {
      kind: "mat corner along",
      x: (origin + 314) / 2,
      y: 146,
      lines: `M${origin} 174V140M314 168V140${across(origin, 314, 146)}`,
      text: [(origin + 314) / 2 + 26, 138, "start"],
    },
    {
      kind: "mat corner across",
      x: 336,
      y: 192,
      lines: `M314 168h28${upright(336, 168, midY)}`,
      text: [336, 236, "middle"],
    },
    {
      kind: "parallel",
      x: 190,
      y: 236,
      lines: "M208 166 220 264",
      text: [190, 270, "middle"],
    },
    {
      kind: "floor flatness",
      x: 264,
      y: 86,
      lines: `M214 ${floorY + 8}q12-6 25 0t25 0t25 0t25 0`,
      text: [264, 60, "middle"],
    },
  ],
});

/** Kinds that have a spot in the drawing; the others wait below it. */
export const drawnKinds = (scene: Scene): CheckKind[] => scene.spots.map(({ kind }) => kind);
