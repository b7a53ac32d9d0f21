/**
 * How sure a hand measurement is, by the way it was made. Standard deviations, mm. All figures are
 * common practice without a source; each is shown beside the choice and can be changed.
 */
export const readingWays = [
  "laser meter",
  "tape held by two",
  "steel rule",
  "tape alone",
  "estimated",
] as const;
export type ReadingWay = (typeof readingWays)[number];

/** What stays however short the length is, and what comes with every metre. */
const sizes: Readonly<Record<ReadingWay, readonly [baseMm: number, perMetreMm: number]>> = {
  // A hand laser within ± 2 mm, as most of their data sheets say.
  "laser meter": [1, 0],
  // Parallax at both ends, and sag and pull that grow with the length.
  "tape held by two": [1, 0.2],
  "steel rule": [0.3, 0.1],
  "tape alone": [2, 0.5],
  estimated: [10, 10],
};

/** Standard deviation of a length read in this way, mm, to a tenth. */
export const sdOfReading = (way: ReadingWay, lengthMm: number): number => {
  const [base, perMetre] = sizes[way];
  return Math.round(10 * (base + (perMetre * Math.abs(lengthMm)) / 1000)) / 10;
};

/** How exactly a rule is read on a printed bar, standard deviations, mm: common practice, no source. */
export const barReadingSdMm = { "steel rule": 0.15, "folding rule": 0.3, estimated: 0.6 } as const;
export type BarReadingWay = keyof typeof barReadingSdMm;

/** How exactly the board of a wheel plate stands out from the wheel, the same way. */
export const offsetSdMm = { "depth gauge": 0.2, "steel rule": 0.5, estimated: 3 } as const;
export type OffsetWay = keyof typeof offsetSdMm;

/** How exactly the middle of a plate sits on the wheel's centre, the same way. */
export const centringSdMm = { "clamped and centred": 1, "set by eye": 3 } as const;
export type CentringWay = keyof typeof centringSdMm;

/** How exactly a pointer's tip lies on its point, the same way. */
export const touchSdMm = {
  "on a fine mark": 0.3,
  "on a corner": 0.5,
  "by eye alone": 1.5,
} as const;
export type TouchWay = keyof typeof touchSdMm;

/** The way whose figure this is; null for a figure of one's own. */
export const wayOfSd = <Way extends string>(
  ways: Readonly<Record<Way, number>>,
  sdMm: number,
): Way | null =>
  (Object.keys(ways) as Way[]).find((way) => Math.abs(ways[way] - sdMm) < 1e-9) ?? null;
