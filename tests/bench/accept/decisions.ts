/**
 * The decision alone, many times: shops whose measuring errs by a scale, a noise and nothing else, from
 * far inside their limits to far outside, with references that err as their papers allow. No photos; the
 * product's own errors, instrument checks and outcome. A pass is false where a measured length is truly
 * off by more than its limit, a fail where none is.
 */
import { outcomeOf } from "../../../src/acceptance/acceptance.ts";
import {
  type AcceptanceFile,
  acceptanceFileSchema,
} from "../../../src/acceptance/file/acceptance-file.ts";
import { testLengths } from "../../../src/acceptance/judge/errors.ts";
import { checkInstruments, instrumentRemarks } from "../../../src/acceptance/judge/instruments.ts";
import type { MeasuredRound } from "../../../src/acceptance/measure/measure-round.ts";
import {
  type AcceptanceCode,
  acceptanceConsequences,
} from "../../../src/acceptance/result/codes.ts";
import { Chance } from "../../tools/phone/maths.ts";

/** Tested lengths of a 2 x 2 x 1.5 m layout, mm. */
const trueMm = [2000, 2000, 2828, 2828, 1800, 1000, 1000, 1500, 1500, 3202, 3202, 3202, 1800];
const byTape = 9;
const readingSdMm = 0.4;
const readings = 3;

const logEven = (c: Chance, low: number, high: number): number =>
  Math.exp(c.even(Math.log(low), Math.log(high)));

const fileOf = (c: Chance): AcceptanceFile => {
  // What the class allows, used up by zero and scale together in any proportion.
  const used = c.even(-1, 1);
  const laserZero = c.normal(0.5);
  const read = (mm: number, i: number): number =>
    i < byTape ? mm + used * (0.1 + 0.1 * Math.ceil(mm / 1000)) : mm + laserZero;
  return acceptanceFileSchema.parse({
    format: "plumbshot-acceptance",
    version: 1,
    title: "decision",
    bayTemperatureC: 20,
    instruments: [
      { kind: "steel tape", name: "tape", class: "I", fromHook: false },
      { kind: "laser meter", name: "laser", withinMm: 1 },
    ],
    lengths: trueMm.map((mm, i) => ({
      from: 11,
      to: 100 + i,
      instrument: i < byTape ? "tape" : "laser",
      readingSdMm,
      readingsMm: Array.from({ length: readings }, () => read(mm, i) + c.normal(readingSdMm)),
    })),
    rounds: [
      { name: "1", photos: "1" },
      { name: "2", photos: "2" },
    ],
  });
};

/** Two rounds of a system with a common scale error and its own noise, as well stated as it is. */
const roundsOf = (c: Chance): MeasuredRound[] => {
  const scaleSd = logEven(c, 2e-5, 3e-3);
  const noiseSd = logEven(c, 0.03, 1.5);
  const scale = c.normal(scaleSd);
  return ["1", "2"].map((name) => ({
    name,
    lengthsMm: trueMm.map((mm) => mm * (1 + scale) + c.normal(noiseSd)),
    uncertaintiesMm: trueMm.map((mm) => Math.hypot(noiseSd, scaleSd * mm)),
    ownVariances: trueMm.map(() => noiseSd ** 2),
    covariance: (i: number, k: number) =>
      scaleSd ** 2 * trueMm[i] * trueMm[k] + (i === k ? noiseSd ** 2 : 0),
  })) as unknown as MeasuredRound[];
};

export interface Decisions {
  readonly jobs: number;
  readonly passed: number;
  readonly failed: number;
  readonly falsePass: number;
  readonly falseFail: number;
}

export const decideMany = (jobs: number, seed = 1): Decisions => {
  let [passed, failed, falsePass, falseFail] = [0, 0, 0, 0];
  for (let job = 0; job < jobs; job++) {
    const c = new Chance(seed + job, 80);
    const file = fileOf(c);
    const rounds = roundsOf(c);
    const lengths = testLengths(file, rounds);
    const spoilt = instrumentRemarks(file, checkInstruments(file, rounds)).some(
      ({ code }) => acceptanceConsequences[code as AcceptanceCode] === "spoils",
    );
    const outcome = outcomeOf(lengths, spoilt, spoilt);
    const within = lengths.every(({ errors, limitMm }, i) =>
      errors.every(({ measuredMm }) => Math.abs(measuredMm - trueMm[i]) <= limitMm),
    );
    if (outcome === "pass") passed++;
    if (outcome === "fail") failed++;
    if (outcome === "pass" && !within) falsePass++;
    if (outcome === "fail" && within) falseFail++;
  }
  return { jobs, passed, failed, falsePass, falseFail };
};
