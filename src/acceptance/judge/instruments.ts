import { solveSquare } from "../../maths/dense.ts";
import { normalQuantile } from "../../maths/statistics.ts";
import type { AcceptanceFile } from "../file/acceptance-file.ts";
import type { MeasuredRound } from "../measure/measure-round.ts";
import { referenceOf } from "../reference/reference.ts";
import type { AcceptanceRemark } from "../result/codes.ts";

/**
 * The instruments laid beside the photos: reading less photo length is taken for a zero error and a
 * scale error of the instrument, a + b L. The photos know no zero, so that a worn hook stands out;
 * a scale error may be the instrument's or that of the prints and the lengths that give the scale.
 */
export interface InstrumentCheck {
  readonly name: string;
  readonly kind: string;
  readonly lengths: number;
  readonly zeroMm: number;
  readonly zeroUncertaintyMm: number;
  readonly perMetreMm: number;
  readonly perMetreUncertaintyMm: number;
  /** What is left beside zero and scale: one reading's scatter, mm^2; null with too few lengths. */
  readonly restVariance: number | null;
  readonly restFreedom: number;
  /** What photos contribute to that, mm^2. */
  readonly photoVariance: number;
}

/** Two numbers are fitted to each instrument's lengths: with fewer than this nothing tests them. */
const fewest = 4;
/** Chance of blaming an innocent instrument: 1 in 1000, two-sided. */
const blame = normalQuantile(1 - 0.0005);

export const checkInstruments = (
  file: AcceptanceFile,
  rounds: readonly MeasuredRound[],
): InstrumentCheck[] =>
  file.instruments.flatMap(({ name, kind }) => {
    const mine = file.lengths.flatMap((length, i) =>
      length.instrument === name && rounds.every(({ lengthsMm }) => lengthsMm[i] !== null)
        ? [i]
        : [],
    );
    return mine.length >= fewest ? [{ name, kind, ...fitLine(file, rounds, mine) }] : [];
  });

const mean = (values: readonly number[]): number =>
  values.reduce((sum, value) => sum + value, 0) / values.length;

/**
 * Least squares of a + b L, all lengths alike, with the covariance of what goes in: the photos' own
 * (common scale and lens included, as one round states it) and the reading of each length. Longer and
 * shorter lengths are centred for the numbers' sake. L in metres.
 */
const fitLine = (
  file: AcceptanceFile,
  rounds: readonly MeasuredRound[],
  mine: readonly number[],
) => {
  const references = mine.map((i) => referenceOf(file, file.lengths[i]));
  const photo = mine.map((i) => mean(rounds.map(({ lengthsMm }) => lengthsMm[i]!)));
  const metres = photo.map((mm) => mm / 1000);
  const n = mine.length;
  const [s1, sL, sLL] = [n, sum(metres), sum(metres.map((l) => l * l))];
  const row = (l: number): [number, number] => {
    const solved = solveSquare(Float64Array.of(s1, sL, sL, sLL), Float64Array.of(1, l), 2);
    return solved ? [solved[0], solved[1]] : [1 / n, 0];
  };
  const weights = metres.map(row);
  const differences = references.map(({ lengthMm }, k) => lengthMm - photo[k]);
  const zeroMm = sum(weights.map(([w], k) => w * differences[k]));
  const perMetreMm = sum(weights.map(([, w], k) => w * differences[k]));
  const [first] = rounds;
  const variance = (column: 0 | 1): number =>
    sum(
      weights.flatMap((a, p) =>
        weights.map((b, q) => {
          const reading = p === q ? references[p].readingUncertaintyMm ** 2 : 0;
          return a[column] * b[column] * (first.covariance(mine[p], mine[q]) + reading);
        }),
      ),
    );
  const rest = differences.map((d, k) => d - zeroMm - perMetreMm * metres[k]);
  return {
    lengths: n,
    zeroMm,
    zeroUncertaintyMm: Math.sqrt(variance(0)),
    perMetreMm,
    perMetreUncertaintyMm: Math.sqrt(variance(1)),
    restVariance: n > 2 ? sum(rest.map((r) => r * r)) / (n - 2) : null,
    restFreedom: n - 2,
    photoVariance:
      mean(mine.map((i) => mean(rounds.map(({ ownVariances }) => ownVariances[i]!)))) /
      rounds.length,
  };
};

const sum = (values: readonly number[]): number =>
  values.reduce((total, value) => total + value, 0);

export const instrumentRemarks = (
  file: AcceptanceFile,
  checks: readonly InstrumentCheck[],
): AcceptanceRemark[] => [
  ...sameInstrument(file),
  ...checks.flatMap((check) => ownRemarks(file, check)),
  ...disagreeing(checks),
];

/**
 * A tape that gives the scale and tests it agrees with itself, also where it is wrong. Another
 * instrument beside it that tests at least two lengths ends the circle.
 */
const sameInstrument = (file: AcceptanceFile): AcceptanceRemark[] => {
  const scale = new Set(file.scale.map(({ instrument }) => instrument));
  const independent = file.lengths.filter(({ instrument }) => !scale.has(instrument));
  if (scale.size === 0 || independent.length >= 2) return [];
  const [instrument] = scale;
  return [
    {
      code: "accept-same-instrument",
      values: { instrument },
      severity: "warning",
      message: `${instrument} gives the scale and tests it, too: an error of its own would not show.`,
      remedy: "Measure at least two of the tested lengths with another instrument.",
    },
  ];
};

const ownRemarks = (file: AcceptanceFile, check: InstrumentCheck): AcceptanceRemark[] => {
  const length = file.lengths.find(({ instrument }) => instrument === check.name)!;
  const { zeroUncertaintyMm, scaleUncertainty } = referenceOf(file, length);
  const zeroLimit = blame * Math.hypot(check.zeroUncertaintyMm, zeroUncertaintyMm);
  const scaleLimit = blame * Math.hypot(check.perMetreUncertaintyMm, 1000 * scaleUncertainty);
  const remarks: AcceptanceRemark[] = [];
  if (Math.abs(check.zeroMm) > zeroLimit)
    remarks.push({
      code: "accept-zero-error",
      values: { instrument: check.name, zero: check.zeroMm, limit: zeroLimit },
      severity: "warning",
      message:
        `${check.name} reads every length ${Math.abs(check.zeroMm).toFixed(1)} mm too ` +
        `${check.zeroMm > 0 ? "long" : "short"}, short ones like long ones (beyond ` +
        `${zeroLimit.toFixed(1)} mm): its hook or zero point is worn, or was laid on wrongly.`,
      remedy:
        "Measure again from a line of the scale, not from the hook, or with another instrument.",
    });
  if (Math.abs(check.perMetreMm) > scaleLimit)
    remarks.push({
      code: "accept-scale-error",
      values: { instrument: check.name, error: check.perMetreMm, limit: scaleLimit },
      severity: "warning",
      message:
        `${check.name} and the photos differ by ${Math.abs(check.perMetreMm).toFixed(2)} mm in every ` +
        `metre (beyond ${scaleLimit.toFixed(2)} mm): the print check, a length that gives the scale, or ` +
        `${check.name} is wrong.`,
      remedy:
        "Read the bars of the print check again, and measure one long length by a third means.",
    });
  return remarks;
};

/** Two instruments that contradict each other: at least one is wrong, and nobody knows which. */
const disagreeing = (checks: readonly InstrumentCheck[]): AcceptanceRemark[] => {
  const [a, b] = checks.filter(({ lengths }) => lengths >= fewest).slice(0, 2);
  if (!a || !b) return [];
  const apart = Math.abs(a.perMetreMm - b.perMetreMm);
  const limit = blame * Math.hypot(a.perMetreUncertaintyMm, b.perMetreUncertaintyMm);
  return apart > limit
    ? [
        {
          code: "accept-instruments-disagree",
          values: { instruments: [a.name, b.name], apart },
          severity: "warning",
          message: `${a.name} and ${b.name} differ by ${apart.toFixed(2)} mm in every metre.`,
          remedy: "Measure one long length with both, one after the other, and find the wrong one.",
        },
      ]
    : [];
};
