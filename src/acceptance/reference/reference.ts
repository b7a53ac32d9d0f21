import type { AcceptanceFile, AcceptanceLength, Instrument } from "../file/acceptance-file.ts";

/**
 * The value of a length by the instrument that measured it, with its standard uncertainty
 * (JCGM 100): readings, the instrument's own permitted error, temperature.
 */
export interface Reference {
  readonly lengthMm: number;
  /** Of one further length read in the same way: reading and its repetition only. */
  readonly readingUncertaintyMm: number;
  /** Zero of the instrument, common to all its lengths. */
  readonly zeroUncertaintyMm: number;
  /** Scale of the instrument with temperature, common to all its lengths, share of the length. */
  readonly scaleUncertainty: number;
  /** All of them together. */
  readonly uncertaintyMm: number;
}

/**
 * Largest permitted errors of tapes by class, mm: a + b L with L the length in metres rounded up, and
 * c more where the scale begins at a hook or ring. OIML R 35-1 and Directive 2014/32/EU, Annex X
 * (MI-008), chapter I; from memory.
 */
const tapeClasses = {
  I: { a: 0.1, b: 0.1, c: 0.1 },
  II: { a: 0.3, b: 0.2, c: 0.2 },
  III: { a: 0.6, b: 0.4, c: 0.3 },
} as const;

/** Expansion of steel, share per degree: common handbook value, from memory. */
const steelExpansion = 11.5e-6;
/** Tapes are right at 20 °C (OIML R 35-1, from memory). */
const referenceTemperatureC = 20;
/** A bay whose temperature nobody stated is within so many degrees of that: common practice, no source. */
const unstatedTemperatureC = 10;
/** A stated one is right to so many degrees, tape against air and sun: common practice, no source. */
const statedTemperatureC = 2;

/** Standard deviation of what lies evenly within plus or minus one (JCGM 100, 4.3.7). */
const even = 1 / Math.sqrt(3);

/** Largest permitted error of a tape over a length, mm. */
export const tapeLimitMm = (
  { class: grade, fromHook }: Extract<Instrument, { kind: "steel tape" }>,
  lengthMm: number,
): number => {
  const { a, b, c } = tapeClasses[grade];
  return a + b * Math.ceil(lengthMm / 1000) + (fromHook ? c : 0);
};

/** What an instrument's own papers leave open: zero, mm, and scale, share of the length. */
const own = (instrument: Instrument, lengthMm: number): { zero: number; scale: number } => {
  switch (instrument.kind) {
    case "steel tape": {
      const limit = tapeLimitMm(instrument, lengthMm);
      const { b } = tapeClasses[instrument.class];
      const scale = (b * Math.ceil(lengthMm / 1000)) / lengthMm;
      return { zero: (limit - scale * lengthMm) * even, scale: scale * even };
    }
    case "laser meter":
      return { zero: instrument.withinMm / 2, scale: 0 };
    case "calibrated length":
      return { zero: instrument.expandedMm / 2, scale: 0 };
  }
};

/**
 * The reference value of a length. A steel tape that is warmer than 20 °C is longer and reads too
 * little: its readings are corrected where the bay's temperature is stated. The permitted error of a
 * tape is one number for zero and scale together; its parts are added, since it may be used up by one.
 */
export const referenceOf = (file: AcceptanceFile, length: AcceptanceLength): Reference => {
  const instrument = instrumentOf(file, length);
  const { readingsMm, readingSdMm } = length;
  const mean = readingsMm.reduce((sum, reading) => sum + reading, 0) / readingsMm.length;
  const steel = instrument.kind === "steel tape";
  const { bayTemperatureC } = file;
  const degrees =
    steel && bayTemperatureC !== undefined ? bayTemperatureC - referenceTemperatureC : 0;
  const lengthMm = mean * (1 + steelExpansion * degrees);
  const spread = bayTemperatureC === undefined ? unstatedTemperatureC : statedTemperatureC;
  const warmth = steel ? steelExpansion * spread * even : 0;
  const { zero, scale } = own(instrument, lengthMm);
  const reading = readingSdMm / Math.sqrt(readingsMm.length);
  const instrumental = zero + scale * lengthMm;
  return {
    lengthMm,
    readingUncertaintyMm: reading,
    zeroUncertaintyMm: zero,
    scaleUncertainty: Math.hypot(scale, warmth),
    uncertaintyMm: Math.hypot(reading, instrumental, warmth * lengthMm),
  };
};

/** The instrument by its name; the file was parsed, so it exists. */
export const instrumentOf = (file: AcceptanceFile, { instrument }: AcceptanceLength): Instrument =>
  file.instruments.find(({ name }) => name === instrument)!;
