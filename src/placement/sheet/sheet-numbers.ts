import type { Remark } from "./codes.ts";
import { type Check, type CheckUnit, limitsOf, type TargetRequest, unitOf } from "./sheet.ts";
import { error, question } from "./sheet-remarks.ts";

/** Contradictions of a pair of limit deviations. */
export const toleranceRemarks = (
  lower: number | null,
  upper: number | null,
  field: string,
  unit: CheckUnit,
): Remark[] => {
  if (lower === null && upper === null) {
    return [
      error(
        "sheet-no-limit",
        field,
        `Placement sheet, ${field}: both tolerances are open, so nothing is checked.`,
        "State at least one limit deviation.",
      ),
    ];
  }
  if (lower === null || upper === null) return [];
  if (lower > upper) {
    return [
      error(
        "sheet-lower-above-upper",
        `${field}.lowerDeviation`,
        `Placement sheet, ${field}: the lower deviation ${lower} lies above the upper ${upper}.`,
        "Swap them, or correct the sign.",
        { lower, upper, unit },
      ),
    ];
  }
  if (lower === upper) {
    return [
      error(
        "sheet-no-width",
        field,
        `Placement sheet, ${field}: lower and upper deviation are both ${lower}; ` +
          "no measurement can prove a tolerance without width.",
        "State the tolerance of the procedure, for instance -5 and 5.",
        { lower, unit },
      ),
    ];
  }
  if (lower > 0 || upper < 0) {
    return [
      question(
        "sheet-required-outside",
        field,
        `Placement sheet, ${field}: the required value itself is outside its tolerance ` +
          `(${lower} to ${upper}). Are these deviations, not limits?`,
        "Enter deviations from the required value, for instance -5 and 5.",
        { lower, upper, unit },
      ),
    ];
  }
  return [];
};

/** Ordinary sizes of each kind, mm, common practice without a source. Outside them: a question. */
const ordinary: Readonly<Partial<Record<Check["kind"], readonly [number, number]>>> = {
  distance: [100, 15000],
  "lateral offset": [0, 6000],
  height: [15, 3000],
  "straight distance": [100, 15000],
  range: [100, 15000],
};
/** Kinds for which a value of zero or less is ordinary. */
const zeroIsOrdinary: ReadonlySet<Check["kind"]> = new Set(["lateral offset", "distance"]);
/** Smallest and largest ordinary width of a tolerance, mm and degrees. Common practice, no source. */
const ordinaryWidth = { mm: [0.5, 400], deg: [0.05, 20] } as const;
/** Angles beyond a full turn, degrees, are probably lengths. */
const fullTurnDeg = 360;
/** Sizes below this may be metres. Our own, no source. */
const perhapsMetres = 20;
/** A unit is suggested only where it makes at least this length, mm. Our own, no source. */
const leastSuggestedMm = 100;
const mmPerInch = 25.4;

/** Questions and contradictions of one check. `field` is where it stands in the sheet. */
export const checkRemarks = (
  check: Check,
  field: string,
  facing: TargetRequest["facing"],
): Remark[] => [
  ...toleranceRemarks(check.lowerDeviation, check.upperDeviation, field, unitOf(check.kind)),
  ...sizeQuestions(check, field),
  ...widthQuestions(check, field),
  ...signQuestions(check, field, facing),
];

/** Kinds that are measured from zero upwards. */
const neverNegative: ReadonlySet<Check["kind"]> = new Set([
  "height",
  "straight distance",
  "range",
  "floor flatness",
  "free space",
]);

/** A minus sign that was probably not meant: a target that faces the car from ahead is ahead of it. */
const signQuestions = (check: Check, field: string, facing: TargetRequest["facing"]): Remark[] => {
  const behind = check.kind === "distance" && facing === "rearward";
  if (check.required >= 0 || !(behind || neverNegative.has(check.kind))) return [];
  const meaning = behind
    ? "behind the line, though the target faces the car from ahead"
    : "negative";
  return [
    question(
      "sheet-negative",
      `${field}.required`,
      `Placement sheet, ${field}: ${check.kind} of ${check.required} mm is ${meaning}.`,
      "Take the minus sign away, or confirm it.",
      { kind: check.kind, required: check.required, behind: behind ? "yes" : "no" },
    ),
  ];
};

const sizeQuestions = (check: Check, field: string): Remark[] => {
  const size = Math.abs(check.required);
  if (unitOf(check.kind) === "deg") {
    return size > fullTurnDeg
      ? [
          question(
            "sheet-angle-size",
            `${field}.required`,
            `Placement sheet, ${field}: ${check.kind} of ${check.required} degrees. ` +
              "Is this a length?",
            "Enter the angle in degrees.",
            { kind: check.kind, required: check.required },
          ),
        ]
      : [];
  }
  const range = ordinary[check.kind];
  if (!range || (size === 0 && zeroIsOrdinary.has(check.kind))) return [];
  const [low, high] = range;
  if (size >= low && size <= high) return [];
  const guess = guessUnit(size, low, high);
  return [
    question(
      "sheet-unit",
      `${field}.required`,
      `Placement sheet, ${field}: ${check.kind} of ${check.required} mm is unusual` +
        `${guess.length > 0 ? `. Is it ${guess.map((g) => `${size} ${g.unit}, that is ${g.mm} mm`).join(", or ")}?` : "."}`,
      "All lengths are millimetres. Correct the number, or confirm it.",
      {
        kind: check.kind,
        required: check.required,
        guess: guess.map((g) => `${size} ${g.unit} = ${g.mm} mm`),
      },
    ),
  ];
};

/** Other units in which the size would be ordinary: 1.2 m, that is 1200 mm. */
const guessUnit = (size: number, low: number, high: number): { unit: string; mm: string }[] => {
  const inside = (mm: number) => mm >= Math.max(low, leastSuggestedMm) && mm <= high;
  const options: [number, string][] =
    size < perhapsMetres
      ? [
          [1000, "m"],
          [mmPerInch, "inches"],
          [10, "cm"],
        ]
      : [
          [mmPerInch, "inches"],
          [10, "cm"],
        ];
  return options
    .filter(([factor]) => inside(size * factor))
    .map(([factor, unit]) => ({ unit, mm: round(size * factor) }));
};

const round = (v: number): string => v.toFixed(1).replace(/\.0$/, "");

const widthQuestions = (check: Check, field: string): Remark[] => {
  const { lower, upper } = limitsOf(check);
  if (lower === null || upper === null) return [];
  const width = upper - lower;
  const [low, high] = ordinaryWidth[unitOf(check.kind)];
  if (width <= 0 || (width >= low && width <= high)) return [];
  const unit = unitOf(check.kind) === "mm" ? "mm" : "degrees";
  return [
    question(
      "sheet-tolerance-size",
      `${field}.lowerDeviation`,
      `Placement sheet, ${field}: a tolerance ${round3(width)} ${unit} wide is unusually ` +
        `${width < low ? "narrow" : "wide"} for ${check.kind}. Right unit?`,
      "Enter signed deviations from the required value, in mm or degrees.",
      {
        kind: check.kind,
        width: round3(width),
        unit: unitOf(check.kind),
        size: width < low ? "narrow" : "wide",
      },
    ),
  ];
};

const round3 = (v: number): string => String(Number(v.toFixed(3)));
