import {
  conformanceProbability,
  type Verdict,
  verdictOf,
} from "../../placement/decide/conformance.ts";
import type { AcceptanceFile } from "../file/acceptance-file.ts";
import type { MeasuredRound } from "../measure/measure-round.ts";
import { type Reference, referenceOf } from "../reference/reference.ts";

export type PassWord = "pass" | "fail" | "not shown";

export interface LengthError {
  readonly round: string;
  readonly measuredMm: number;
  /** Measured less reference (VDI/VDE 2634 Part 1). */
  readonly errorMm: number;
  /** What a job would state for this length, k = 2, mm. */
  readonly statedExpandedMm: number;
  /** Probability that the true error lies within the limit (JCGM 106). */
  readonly probability: number;
  readonly verdict: PassWord;
}

export interface TestedLength {
  readonly from: number;
  readonly to: number;
  readonly instrument: string;
  readonly reference: Reference;
  readonly limitMm: number;
  /** One for each round that saw both boards. */
  readonly errors: readonly LengthError[];
}

/** Largest permitted error of a length: A + K L, at most B. */
export const limitOf = ({ limits }: AcceptanceFile, lengthMm: number): number =>
  Math.min(limits.fixedMm + (limits.perMetreMm * lengthMm) / 1000, limits.mostMm ?? Infinity);

const words: Readonly<Record<Verdict, PassWord>> = {
  meets: "pass",
  misses: "fail",
  "not proven": "not shown",
};

/**
 * Errors of all tested lengths. What is uncertain about an error is the reference alone: the scatter
 * of the measuring system is what is tested, and so no part of the test's own uncertainty
 * (ISO 14253-5, from memory).
 */
export const testLengths = (
  file: AcceptanceFile,
  rounds: readonly MeasuredRound[],
): TestedLength[] =>
  file.lengths.map((length, i) => {
    const reference = referenceOf(file, length);
    const limitMm = limitOf(file, reference.lengthMm);
    const limits = { lower: -limitMm, upper: limitMm };
    const { passes: meetsAt, fails: missesAt } = file.levels;
    const errors = rounds.flatMap(({ name, lengthsMm, uncertaintiesMm }): LengthError[] => {
      const measuredMm = lengthsMm[i];
      if (measuredMm === null) return [];
      const errorMm = measuredMm - reference.lengthMm;
      const u = reference.uncertaintyMm;
      const verdict = verdictOf(errorMm, u, limits, { kind: "probability", meetsAt, missesAt });
      return [
        {
          round: name,
          measuredMm,
          errorMm,
          statedExpandedMm: 2 * (uncertaintiesMm[i] ?? 0),
          probability: conformanceProbability(errorMm, u, limits),
          verdict: words[verdict],
        },
      ];
    });
    const { from, to, instrument } = length;
    return { from, to, instrument, reference, limitMm, errors };
  });
