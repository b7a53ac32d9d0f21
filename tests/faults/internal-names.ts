/**
 * The program's own names, which mean nothing to a person: keys of the adjustment, numbers of
 * components, values that are no number, and numbers rounded to nothing.
 */
const patterns: readonly RegExp[] = [
  /\b(taught|plate|point|spin|steer|motion|target|wheel|car|floor):\S+/i,
  /\b\d+@\S*/,
  /\bcamera camera\b/,
  /\blength length\b/,
  /\(\d+ of \d+\)/,
  /\bNaN\b|\bInfinity\b|\bundefined\b|\bnull\b|\[object/,
  /\b\d+ until \S+/,
  /\b0\.00 px\b/,
  /\b\d{3,}\.\d of its stated/,
  /\bwhere \d+ is usual\b/,
  /\bcell size of board\b/,
  /\bprint print\b/,
];

/** The places of a sentence that carry such a name. */
export const internalNamesIn = (sentence: string): string[] =>
  patterns.flatMap((pattern) => pattern.exec(sentence)?.[0] ?? []);
