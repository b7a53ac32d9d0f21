import type { AcceptanceFile } from "../file/acceptance-file.ts";
import type { BoardShape, MeasuredRound } from "../measure/measure-round.ts";
import type { InstrumentCheck } from "./instruments.ts";
import { type Spread, spreadOf } from "./scatter.ts";

/**
 * Variance components that the test measured along the way, in place of common practice: how far the
 * shop's boards bulge, how much its prints differ among each other, how well its people read.
 */
export interface OwnDefault extends Spread {
  /** "flatnessMm" and "ownScaleSd" as in the job file; "reading" of an instrument. */
  readonly name: "flatnessMm" | "ownScaleSd" | "reading";
  readonly instrument?: string;
  /** What was stated so far. */
  readonly usual: number;
  /** Enough to stand in for what was stated: the guard against few boards or lengths. */
  readonly enough: boolean;
}

/** With fewer degrees of freedom a standard deviation may be half or twice the truth. */
const fewestFreedom = 8;
/** Common practice weighs as much as so many degrees of freedom. */
const usualWeight = 2;

/** A number with an uncertainty of its own, known without its prior. */
interface Told {
  readonly value: number;
  readonly variance: number;
}

/**
 * Takes the prior N(0, prior^2) off an estimate: what the photos alone say. Null where they say next to
 * nothing.
 */
const withoutPrior = (value: number, variance: number, prior: number): Told | null => {
  const gain = 1 - variance / prior ** 2;
  return gain > 0.05 ? { value: value / gain, variance: variance / gain } : null;
};

/**
 * Standard deviation of numbers that are each known with a variance of their own: maximum likelihood
 * by fixed-point steps, sigma^2 = sum w^2 (x^2 - v) / sum w^2 with w = 1 / (sigma^2 + v).
 */
const component = (told: readonly Told[], usual: number, lost: number): Spread | null => {
  if (told.length - lost < 1) return null;
  let square = usual ** 2;
  for (let step = 0; step < 50; step++) {
    const weights = told.map(({ variance }) => (square + variance) ** -2);
    const total = weights.reduce((sum, w) => sum + w, 0);
    const excess = told.reduce(
      (sum, { value, variance }, i) =>
        sum + weights[i] * (value ** 2 * (told.length / (told.length - lost)) - variance),
      0,
    );
    square = Math.max((0.01 * usual) ** 2, excess / total);
  }
  const freedom =
    told.reduce((sum, { variance }) => sum + (square / (square + variance)) ** 2, 0) *
    ((told.length - lost) / told.length);
  const weighed = (usualWeight * usual ** 2 + freedom * square) / (usualWeight + freedom);
  return spreadOf(weighed, usualWeight + freedom);
};

export const ownDefaults = (
  file: AcceptanceFile,
  rounds: readonly MeasuredRound[],
  instruments: readonly InstrumentCheck[],
): OwnDefault[] => {
  const [round] = rounds;
  if (!round) return [];
  return [
    ...bulge(file, round.shapes),
    ...ownScale(file, round.shapes),
    ...instruments.flatMap((check) => reading(file, check)),
  ];
};

const judged = (
  spread: Spread | null,
  rest: Pick<OwnDefault, "name" | "instrument" | "usual">,
): OwnDefault[] =>
  spread
    ? [{ ...spread, ...rest, enough: spread.degreesOfFreedom - usualWeight >= fewestFreedom }]
    : [];

const bulge = (
  { boards: { flatnessMm } }: AcceptanceFile,
  shapes: readonly BoardShape[],
): OwnDefault[] => {
  if (flatnessMm === 0) return [];
  const told = shapes.flatMap((s) => withoutPrior(s.bulgeMm, s.bulgeVariance, flatnessMm) ?? []);
  return judged(component(told, flatnessMm, 0), { name: "flatnessMm", usual: flatnessMm });
};

/** Sizes about their print's mean: what is common to all belongs to the print, and costs one freedom. */
const ownScale = (
  { boards: { ownScaleSd } }: AcceptanceFile,
  shapes: readonly BoardShape[],
): OwnDefault[] => {
  if (ownScaleSd === 0) return [];
  const usable = shapes.filter(({ ofPrint }) => ofPrint > 2);
  const told = usable.flatMap(
    ({ ownScale: value, ownScaleVariance, ofPrint }) =>
      withoutPrior(value, ownScaleVariance, ownScaleSd * Math.sqrt(1 - 1 / ofPrint)) ?? [],
  );
  const prints = new Set(usable.map(({ ofPrint }) => ofPrint)).size;
  return judged(component(told, ownScaleSd, prints), { name: "ownScaleSd", usual: ownScaleSd });
};

const reading = (file: AcceptanceFile, check: InstrumentCheck): OwnDefault[] => {
  const mine = file.lengths.filter(({ instrument }) => instrument === check.name);
  const usual = Math.max(...mine.map(({ readingSdMm }) => readingSdMm));
  if (check.restVariance === null) return [];
  const repeats = mine.reduce((sum, { readingsMm }) => sum + readingsMm.length, 0) / mine.length;
  const square = Math.max(0, check.restVariance - check.photoVariance) * repeats;
  const freedom = check.restFreedom;
  const weighed = (usualWeight * usual ** 2 + freedom * square) / (usualWeight + freedom);
  return judged(spreadOf(weighed, usualWeight + freedom), {
    name: "reading",
    instrument: check.name,
    usual,
  });
};
