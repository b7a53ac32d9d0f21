import type { Said, SaidValues } from "../../say/remark.ts";
import type { Check, CheckKind, CheckUnit, TargetRequest } from "../sheet/sheet.ts";

/** Sentences for people: words instead of signs, digits that the uncertainty can carry. */

const digits = { mm: 1, deg: 2 } as const;
const unitWord = { mm: "mm", deg: "degrees" } as const;

/** "23.1 mm", "0.70 degrees"; always positive. */
export const amount = (value: number, unit: CheckUnit): string =>
  `${Math.abs(value).toFixed(digits[unit])} ${unitWord[unit]}`;

/** True when the value rounds to nothing in its unit. */
export const isNothing = (value: number, unit: CheckUnit): boolean =>
  Number(Math.abs(value).toFixed(digits[unit])) === 0;

/** "23.1", "-0.70"; without a sign where it rounds to nothing. */
export const number = (value: number, unit: CheckUnit): string =>
  (isNothing(value, unit) ? 0 : value).toFixed(digits[unit]);

type Pair = readonly [over: string, under: string];

const tilts: Readonly<Record<"pitch" | "roll", Pair>> = {
  pitch: ["with the face turned up too far", "with the face turned down too far"],
  roll: [
    "with the left end, seen from the front, too high",
    "with the right end, seen from the front, too high",
  ],
};

const matTilts: Readonly<Record<"pitch" | "roll", Pair>> = {
  pitch: ["with the front edge too low", "with the front edge too high"],
  roll: ["with the left edge too high", "with the left edge too low"],
};

const fixedWords: Readonly<Partial<Record<CheckKind, Pair>>> = {
  distance: ["too far ahead", "too far back"],
  "mat corner along": ["too far ahead", "too far back"],
  "lateral offset": ["too far left", "too far right"],
  "mat corner across": ["too far left", "too far right"],
  height: ["too high", "too low"],
  yaw: ["counter-clockwise too far, seen from above", "clockwise too far, seen from above"],
  "straight distance": ["too long", "too short"],
  range: ["too far away", "too near"],
  bearing: ["too far counter-clockwise, seen from above", "too far clockwise, seen from above"],
  "equal diagonals": ["first diagonal too long", "first diagonal too short"],
  parallel: [
    "turned counter-clockwise from the axle, seen from above",
    "turned clockwise from the axle, seen from above",
  ],
  "floor slope": ["rising too much towards the target", "falling too much towards the target"],
};

/** Kinds that count from zero: the value itself is said, not its deviation from the required one. */
const valueKinds: ReadonlySet<CheckKind> = new Set(["floor flatness", "free space"]);

/** The deviation from the required value in words: "23.1 mm too far left". */
export const deviationInWords = (
  check: Pick<Check, "kind" | "required">,
  measured: number,
  unit: CheckUnit,
  facing: TargetRequest["facing"],
): string => {
  if (valueKinds.has(check.kind)) {
    return check.kind === "floor flatness"
      ? `uneven by ${amount(measured, unit)}`
      : `${amount(measured, unit)} free`;
  }
  const deviation = measured - check.required;
  if (isNothing(deviation, unit)) return "as required";
  const pair =
    check.kind === "pitch" || check.kind === "roll"
      ? (facing === "up" ? matTilts : tilts)[check.kind]
      : (fixedWords[check.kind] ?? ["too much", "too little"]);
  return `${amount(deviation, unit)} ${deviation > 0 ? pair[0] : pair[1]}`;
};

type Inside = (size: string) => string;

const fromMiddle = (over: string, under: string): readonly [Inside, Inside] => [
  (size) => `${size} ${over} its middle`,
  (size) => `${size} ${under} its middle`,
];

const turnedFromMiddle: readonly [Inside, Inside] = [
  (size) => `turned ${size} counter-clockwise from its middle, seen from above`,
  (size) => `turned ${size} clockwise from its middle, seen from above`,
];

/** Sides of the tolerance's middle; all other kinds have more or less than it. */
const insideWords: Readonly<Partial<Record<CheckKind, readonly [Inside, Inside]>>> = {
  distance: fromMiddle("ahead of", "behind"),
  "mat corner along": fromMiddle("ahead of", "behind"),
  "lateral offset": fromMiddle("left of", "right of"),
  "mat corner across": fromMiddle("left of", "right of"),
  height: fromMiddle("above", "below"),
  yaw: turnedFromMiddle,
  bearing: turnedFromMiddle,
  parallel: turnedFromMiddle,
};

/**
 * Where a value stands that lies within its limits: "inside the tolerance, 7.5 mm ahead of its
 * middle", so that nothing reads as wrong beside a verdict of right. Outside them the deviation from
 * the required value. Values and limits in mm or degrees.
 */
export const placeInWords = (
  check: Pick<Check, "kind" | "required">,
  measured: number,
  limits: { readonly lower: number | null; readonly upper: number | null },
  unit: CheckUnit,
  facing: TargetRequest["facing"],
): string => {
  const { lower, upper } = limits;
  const outside = (lower !== null && measured < lower) || (upper !== null && measured > upper);
  const asRequired = isNothing(measured - check.required, unit);
  if (outside || asRequired || valueKinds.has(check.kind))
    return deviationInWords(check, measured, unit, facing);
  if (lower === null || upper === null) return "inside the limit";
  const off = measured - (lower + upper) / 2;
  if (isNothing(off, unit)) return "inside the tolerance, at its middle";
  const [over, under] = insideWords[check.kind] ?? fromMiddle("more than", "less than");
  return `inside the tolerance, ${(off > 0 ? over : under)(amount(off, unit))}`;
};

const labels: Readonly<Record<CheckKind, string>> = {
  distance: "Distance ahead of the origin line",
  "lateral offset": "Offset to the left of the axis",
  height: "Height above the floor",
  yaw: "Turn seen from above, counter-clockwise",
  pitch: "Face looking up",
  roll: "Left end high, seen from the front",
  "straight distance": "Straight distance",
  range: "Range, horizontal",
  bearing: "Bearing from straight ahead, counter-clockwise",
  "equal diagonals": "Difference of the diagonals",
  parallel: "Turn from parallel to the axle",
  "mat corner along": "Mat corner ahead of the origin line",
  "mat corner across": "Mat corner left of the axis",
  "floor flatness": "Unevenness of the floor",
  "floor slope": "Rise of the floor towards the target",
  "free space": "Free space",
};

export type LabelCode = `label: ${CheckKind}`;

/** The label as data; undefined where the sheet has its own words. */
export const labelSaid = (
  check: Check,
  sheet: {
    readonly origin: { readonly kind: string; readonly name?: string };
    readonly axis: string;
    readonly heightReference: string;
  },
): Said<LabelCode> | undefined => {
  if (check.label) return undefined;
  const { origin, axis, heightReference } = sheet;
  const values: SaidValues = {
    origin: origin.kind,
    point: origin.kind === "dropped point" ? (origin.name ?? "") : "",
    axis,
    above: (check.kind === "height" && check.above) || heightReference,
    corner: "corner" in check ? check.corner : "",
    axle: check.kind === "parallel" ? check.axle : "",
  };
  return { code: `label: ${check.kind}`, values };
};

const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);

/** What a check measures, in words; the sheet's own label goes first. */
export const labelOf = (
  check: Check,
  sheet: {
    readonly origin: { readonly kind: string; readonly name?: string };
    readonly axis: string;
    readonly heightReference: string;
  },
): string => {
  if (check.label) return check.label;
  const origin =
    sheet.origin.kind === "dropped point"
      ? `the point "${sheet.origin.name}"`
      : `the ${sheet.origin.kind}`;
  const axis = `the ${sheet.axis}`;
  switch (check.kind) {
    case "distance":
      return `Distance ahead of ${origin}`;
    case "lateral offset":
      return `Offset to the left of ${axis}`;
    case "height":
      return `Height above the ${check.above ?? sheet.heightReference}`;
    case "mat corner along":
      return `${capital(check.corner)} corner of the mat ahead of ${origin}`;
    case "mat corner across":
      return `${capital(check.corner)} corner of the mat left of ${axis}`;
    case "yaw":
      return `Turn against ${axis}, counter-clockwise seen from above`;
    case "parallel":
      return `Turn from parallel to the ${check.axle} axle`;
    default:
      return labels[check.kind];
  }
};
