import { describe, expect, test } from "vitest";
import { parseAcceptance } from "../../../src/acceptance/file/parse-acceptance.ts";
import { referenceOf, tapeLimitMm } from "../../../src/acceptance/reference/reference.ts";

const raw = (change: Record<string, unknown> = {}) => ({
  format: "plumbshot-acceptance",
  version: 1,
  title: "test",
  instruments: [
    { kind: "steel tape", name: "tape", class: "II" },
    { kind: "laser meter", name: "laser", withinMm: 2 },
  ],
  lengths: [{ from: 11, to: 12, instrument: "tape", readingsMm: [2000, 2001], readingSdMm: 0.4 }],
  rounds: [{ name: "round 1", photos: "round-1" }],
  ...change,
});

const fileOf = (change: Record<string, unknown> = {}) => {
  const parsed = parseAcceptance(raw(change));
  if (!parsed.ok) throw new Error(parsed.problems.join("\n"));
  return parsed.file;
};

describe("references", () => {
  // Directive 2014/32/EU, Annex X, chapter I, and OIML R 35-1: a + b L, metres rounded up; from memory.
  test.each([
    ["I", false, 2000, 0.3],
    ["I", true, 2000, 0.4],
    ["II", false, 2000, 0.7],
    ["II", false, 2001, 0.9],
    ["II", true, 5000, 1.5],
    ["III", false, 10_000, 4.6],
  ] as const)(
    "a tape of class %s (hook %s) errs by at most so much over %s mm",
    (grade, fromHook, mm, limit) => {
      const tape = { kind: "steel tape", name: "t", class: grade, fromHook } as const;
      expect(tapeLimitMm(tape, mm)).toBeCloseTo(limit, 10);
    },
  );

  test("a warm tape reads too little and is corrected", () => {
    const file = fileOf({ bayTemperatureC: 30 });
    const { lengthMm } = referenceOf(file, file.lengths[0]);
    // 11.5e-6 per degree, ten degrees, 2000.5 mm.
    expect(lengthMm).toBeCloseTo(2000.5 * (1 + 11.5e-5), 9);
  });

  test("uncertainty adds readings, permitted error and unknown warmth", () => {
    const file = fileOf();
    const { uncertaintyMm, lengthMm } = referenceOf(file, file.lengths[0]);
    const permitted = (0.3 + 0.2 * 3 + 0.2) / Math.sqrt(3);
    const warmth = (11.5e-6 * 10 * lengthMm) / Math.sqrt(3);
    expect(uncertaintyMm).toBeCloseTo(Math.hypot(0.4 / Math.SQRT2, permitted, warmth), 9);
  });

  test("a laser's stated accuracy holds for about 95 %", () => {
    const lengths = [
      { from: 11, to: 12, instrument: "laser", readingsMm: [2000], readingSdMm: 0.1 },
    ];
    const file = fileOf({ lengths });
    expect(referenceOf(file, file.lengths[0]).uncertaintyMm).toBeCloseTo(Math.hypot(1, 0.1), 9);
  });
});

describe("what an acceptance file may not say", () => {
  const length = { from: 11, to: 12, instrument: "tape", readingsMm: [2000] };
  test.each([
    [
      "an unknown instrument",
      { lengths: [{ ...length, instrument: "string" }] },
      /lengths\[0\]\.instrument/,
    ],
    ["one board twice", { lengths: [{ ...length, to: 11 }] }, /same board/],
    ["one length twice", { lengths: [length, { ...length, from: 12, to: 11 }] }, /twice/],
    ["a mistyped reading", { lengths: [{ ...length, readingsMm: [2000, 2100] }] }, /mistyped/],
    ["a length that tests itself", { scale: [length] }, /cannot test it/],
    [
      "two rounds of one folder",
      {
        rounds: [
          { name: "a", photos: "p" },
          { name: "b", photos: "p" },
        ],
      },
      /rounds/,
    ],
    ["a field of its own", { colour: "red" }, /colour/],
  ])("%s", (_, change, problem) => {
    const parsed = parseAcceptance(raw(change));
    expect(parsed.ok).toBe(false);
    if (!parsed.ok) expect(parsed.problems.join("\n")).toMatch(problem);
  });
});
