import type { CheckResult, Move, Result, Verdict } from "../../job/result/result.ts";

import type { MoveWay } from "../../placement/moves/moves.ts";
import type { TextKey, Translate } from "./translate.ts";
import type { Quantity } from "./units.ts";

/**
 * Words for what the engine found. The engine speaks English; texts that depend on language or
 * display units are built here from its numbers and codes.
 */

export type VehicleLine = Result["vehicle"][number];

export const quantityOf = (item: { readonly unit: "mm" | "deg" }): Quantity =>
  item.unit === "mm" ? "length" : "angle";

/** Decimals of a check's values: a tenth of a millimetre, a hundredth of a degree. */
export const checkDecimals = (check: Pick<CheckResult, "unit">): number =>
  check.unit === "mm" ? 1 : 2;

const verdictKeys: Record<Verdict, TextKey> = {
  meets: "verdict.meets",
  misses: "verdict.misses",
  "not proven": "verdict.notProven",
};
export const verdictWord = (verdict: Verdict, t: Translate): string => t(verdictKeys[verdict]);

/** Directions of a positive and a negative deviation, by kind of check. */
const directions: Record<string, readonly [TextKey, TextKey]> = {
  distance: ["deviation.ahead", "deviation.behind"],
  "mat corner along": ["deviation.ahead", "deviation.behind"],
  "lateral offset": ["deviation.left", "deviation.right"],
  "mat corner across": ["deviation.left", "deviation.right"],
  height: ["deviation.high", "deviation.low"],
  yaw: ["deviation.counterClockwise", "deviation.clockwise"],
  parallel: ["deviation.counterClockwise", "deviation.clockwise"],
  pitch: ["deviation.looksUp", "deviation.looksDown"],
  roll: ["deviation.leftHigh", "deviation.rightHigh"],
};

/** "23.1 mm too far left": the deviation from the required value in words. */
export function deviationWords(
  check: CheckResult,
  t: Translate,
  show: (value: number, quantity: Quantity, decimals: number) => string,
): string {
  const deviation = check.measured - check.required;
  const decimals = checkDecimals(check);
  const amount = show(Math.abs(deviation), quantityOf(check), decimals);
  if (Math.abs(deviation) < 0.5 * 10 ** -decimals) {
    return t("deviation.none");
  }
  const [more, less] = directions[check.quantity] ?? ["deviation.more", "deviation.less"];
  const inside = insideWords(check, t, show);
  return inside ?? t(deviation > 0 ? more : less, { amount });
}

/** Sides of the tolerance's middle, by kind of check. */
const insideSides: Record<string, readonly [TextKey, TextKey]> = {
  distance: ["inside.ahead", "inside.behind"],
  "mat corner along": ["inside.ahead", "inside.behind"],
  "lateral offset": ["inside.left", "inside.right"],
  "mat corner across": ["inside.left", "inside.right"],
  height: ["inside.above", "inside.below"],
  yaw: ["inside.counterClockwise", "inside.clockwise"],
  parallel: ["inside.counterClockwise", "inside.clockwise"],
  pitch: ["inside.looksUp", "inside.looksDown"],
  roll: ["inside.leftHigh", "inside.rightHigh"],
};

/**
 * "inside the tolerance, 7.5 mm ahead of its middle"; null where the value is outside, so that
 * nothing reads as wrong beside a verdict of right.
 */
function insideWords(
  check: CheckResult,
  t: Translate,
  show: (value: number, quantity: Quantity, decimals: number) => string,
): string | null {
  const { lower, upper, measured } = check;
  if ((lower !== null && measured < lower) || (upper !== null && measured > upper)) {
    return null;
  }
  if (lower === null || upper === null) {
    return t("inside.limit");
  }
  const fromMiddle = measured - (lower + upper) / 2;
  const decimals = checkDecimals(check);
  if (Math.abs(fromMiddle) < 0.5 * 10 ** -decimals) {
    return t("inside.middle");
  }
  const [more, less] = insideSides[check.quantity] ?? ["inside.more", "inside.less"];
  const amount = show(Math.abs(fromMiddle), quantityOf(check), decimals);
  return t(fromMiddle > 0 ? more : less, { amount });
}

/** Kinds whose sign is a direction: words for the positive and the negative side. */
const sides: Record<string, readonly [TextKey, TextKey]> = {
  "lateral offset": ["side.left", "side.right"],
  "mat corner across": ["side.left", "side.right"],
  yaw: ["side.counterClockwise", "side.clockwise"],
  bearing: ["side.counterClockwise", "side.clockwise"],
  parallel: ["side.counterClockwise", "side.clockwise"],
  pitch: ["side.faceUp", "side.faceDown"],
  roll: ["side.leftHigh", "side.rightHigh"],
};

/** Words for the two sides of a check's number line, or null where the sign is a plain amount. */
export function sidesOf(
  quantity: string,
  t: Translate,
): { readonly positive: string; readonly negative: string } | null {
  const pair = sides[quantity];
  return pair ? { positive: t(pair[0]), negative: t(pair[1]) } : null;
}

/** True where the positive side (left, counter-clockwise) is drawn to the left, as one sees it. */
export const positiveIsLeft = (quantity: string): boolean =>
  quantity in sides && quantity !== "pitch";

/** "23.4 mm left", "0.12° clockwise", "2508 mm": a value without a sign. */
export function valueWords(
  check: Pick<CheckResult, "quantity" | "unit">,
  value: number,
  decimals: number,
  t: Translate,
  show: (value: number, quantity: Quantity, decimals: number) => string,
): string {
  const pair = sidesOf(check.quantity, t);
  if (!pair) {
    return show(value, quantityOf(check), decimals);
  }
  const amount = show(Math.abs(value), quantityOf(check), decimals);
  if (Math.abs(value) < 0.5 * 10 ** -decimals) {
    return show(0, quantityOf(check), decimals);
  }
  return `${amount} ${value > 0 ? pair.positive : pair.negative}`;
}

/**
 * What a check is called where its values carry their direction in words, null where its own name
 * serves. The engine's name ("offset to the left of …") says which side is positive, for files and
 * tables with signs.
 */
export function checkName(check: CheckResult, t: Translate): string | null {
  if (!check.labelSaid) {
    return null;
  }
  const thrust = check.labelSaid.values?.axis === "thrust line";
  const axis = t(thrust ? "word.thrust line" : "word.geometric centreline");
  switch (check.quantity) {
    case "lateral offset":
      return t("name.lateral", { axis });
    case "yaw":
      return t("name.yaw", { axis });
    case "pitch":
      return t("name.pitch");
    case "roll":
      return t("name.roll");
    default:
      return null;
  }
}

const sourceKeys: Record<string, TextKey> = {
  image: "source.image",
  lens: "source.lens",
  "focus and stabilisation": "source.focus",
  "hand motion": "source.hand",
  "print scale": "source.print",
  "board flatness": "source.flatness",
  "length reference": "source.lengths",
  floor: "source.floor",
  "wheel plates": "source.plates",
  "target offset": "source.target",
  other: "source.other",
};
export const sourceWord = (source: string, t: Translate): string =>
  source in sourceKeys ? t(sourceKeys[source]) : source;

/** Kinds of vehicle numbers: name, and the words for a positive and a negative value. */
const vehicleKinds: Record<string, readonly [TextKey, TextKey?, TextKey?]> = {
  wheelbase: ["vehicle.wheelbase"],
  "thrust angle": ["vehicle.thrustAngle", "side.left", "side.right"],
  "thrust line at front axle": ["vehicle.thrustLine", "side.left", "side.right"],
  track: ["vehicle.track"],
  "set-back": ["vehicle.setBack", "side.rightBehind", "side.leftBehind"],
  "total toe": ["vehicle.totalToe", "side.toeIn", "side.toeOut"],
  toe: ["vehicle.toe", "side.toeIn", "side.toeOut"],
  camber: ["vehicle.camber", "side.topOut", "side.topIn"],
};

const placeKeys: Record<string, TextKey> = {
  front: "place.frontAxle",
  rear: "place.rearAxle",
  "front left": "word.front left",
  "front right": "word.front right",
  "rear left": "word.rear left",
  "rear right": "word.rear right",
};

/** One number of the car in words: "Camber, front left" and "0.68° top inward". */
export function vehicleWords(
  line: VehicleLine,
  t: Translate,
  show: (value: number, quantity: Quantity, decimals: number) => string,
  showUncertainty: typeof show,
): { readonly name: string; readonly value: string; readonly uncertainty: string } {
  const quantity = quantityOf(line);
  const decimals = line.unit === "mm" ? 1 : 2;
  const uncertainty = showUncertainty(line.expandedUncertainty, quantity, decimals);
  const kind = Object.keys(vehicleKinds).find(
    (item) => line.name === item || line.name.startsWith(`${item} `),
  );
  if (!kind) {
    return { name: line.label, value: show(line.value, quantity, decimals), uncertainty };
  }
  const [nameKey, positive, negative] = vehicleKinds[kind];
  const place = placeKeys[line.name.slice(kind.length + 1)];
  const side = line.value > 0 ? positive : negative;
  return {
    name: place ? `${t(nameKey)}, ${t(place)}` : t(nameKey),
    value: side
      ? `${show(Math.abs(line.value), quantity, decimals)} ${t(side)}`
      : show(line.value, quantity, decimals),
    uncertainty,
  };
}

const wayKeys: Readonly<Record<MoveWay, TextKey>> = {
  "counter-clockwise": "way.counterClockwise",
  clockwise: "way.clockwise",
  left: "way.left",
  right: "way.right",
  "towards the car": "way.towards",
  "away from the car": "way.away",
  forward: "way.forward",
  rearward: "way.rearward",
  up: "way.up",
  down: "way.down",
  "left end up": "way.leftEndUp",
  "right end up": "way.rightEndUp",
  "face up": "way.faceUp",
  "face down": "way.faceDown",
  "front edge up": "way.frontEdgeUp",
  "front edge down": "way.frontEdgeDown",
};
const isWay = (way: string): way is MoveWay => way in wayKeys;

/** The way of a move; results of earlier programs carry it in the short form alone. */
export const wayOf = (move: Move): string => move.way ?? withoutAmount(move.short);

const withoutAmount = (short: string): string =>
  short
    .replace(/[\d.,]+\s*(mm|°)/, "")
    .trim()
    .replace(/\s+/g, " ");

/** A way in the chosen language. */
export const wayWord = (way: string, t: Translate): string => (isWay(way) ? t(wayKeys[way]) : way);

const moveKeys: Record<Move["kind"], TextKey> = {
  turn: "move.turn",
  slide: "move.slide",
  raise: "move.raise",
  level: "move.level",
};
export const moveWord = (kind: Move["kind"], t: Translate): string => t(moveKeys[kind]);
