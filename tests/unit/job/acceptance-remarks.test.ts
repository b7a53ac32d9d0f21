import { describe, expect, test } from "vitest";
import { parseJobFile } from "../../../src/job/file/parse-job.ts";
import { acceptanceRemarks } from "../../../src/job/problem/acceptance-remarks.ts";
import { consequenceOf } from "../../../src/job/result/consequences.ts";
import { sampleExif, sampleJob } from "../../tools/simulated-job.ts";

const note = {
  testedAt: "2026-01-10T08:00:00Z",
  outcome: "pass",
  largestErrorMm: 0.7,
  limits: { fixedMm: 1, perMetreMm: 0.5 },
  phones: [{ make: "Invented", model: "Bay One", system: ["4.1"] }],
  prints: { cellMm: 13, horizontalMm: null, verticalMm: null },
  plates: "steel plates",
  defaults: { flatnessMm: 0.31, ownScaleSd: 0.0002, readings: [] },
};

const photo = (exif: Partial<typeof sampleExif> = {}) =>
  [{ exif: { ...sampleExif, ...exif } }] as unknown as Parameters<typeof acceptanceRemarks>[1];

const bar = { nominalMm: 200, readingMm: 200.1 };
const codes = (
  last: Record<string, unknown> | null,
  { at = "2026-06-01T08:00:00Z", plates = "", named = "", photos = photo() } = {},
) => {
  const job = sampleJob((raw) => {
    if (named) raw.wheelPlates = { ...(raw.wheelPlates as object), name: named };
    raw.boards = { printCheck: { horizontal: bar, vertical: bar } };
    raw.acceptance = { everyDays: 365, plates, last: last && { ...note, ...last } };
  });
  return acceptanceRemarks(job, photos, at).map(({ code }) => code);
};

describe("what a job says of the last acceptance test", () => {
  test("nothing without a rule", () => {
    expect(acceptanceRemarks(sampleJob(), photo(), "2026-06-01T08:00:00Z")).toEqual([]);
  });
  test("missing, passed, failed, not shown", () => {
    expect(codes(null)).toEqual(["acceptance-missing"]);
    expect(codes({})).toEqual(["acceptance-on"]);
    expect(codes({ outcome: "fail" })).toEqual(["acceptance-failed"]);
    expect(codes({ outcome: "not shown" })).toEqual(["acceptance-not-shown"]);
    expect(consequenceOf("acceptance-failed")).toBe("holds back");
    expect(consequenceOf("acceptance-old")).toBe("harmless");
  });
  test("the last day counts, the next does not, nor does a date ahead of the clock", () => {
    expect(codes({}, { at: "2027-01-10T08:00:00Z" })).toEqual(["acceptance-on"]);
    expect(codes({}, { at: "2027-01-12T08:00:00Z" })).toContain("acceptance-old");
    expect(codes({}, { at: "2025-06-01T08:00:00Z" })).toContain("acceptance-old");
    expect(codes({ testedAt: "some day" })).toContain("acceptance-old");
  });
  test("another phone, system version, print or plate", () => {
    expect(codes({}, { photos: photo({ model: "Bay Two" }) })).toContain("acceptance-changed");
    expect(codes({}, { photos: photo({ software: "4.2" as never }) })).toContain(
      "acceptance-changed",
    );
    expect(codes({}, { photos: photo({ software: "4.1" as never }) })).toEqual(["acceptance-on"]);
    expect(codes({ prints: { ...note.prints, cellMm: 18 } })).toContain("acceptance-changed");
    expect(codes({ prints: { ...note.prints, horizontalMm: 190 } })).toContain(
      "acceptance-changed",
    );
    expect(codes({}, { plates: "other plates" })).toContain("acceptance-changed");
    expect(codes({}, { named: "other plates" })).toContain("acceptance-changed");
    expect(codes({}, { named: "other plates", plates: "steel plates" })).toContain(
      "acceptance-changed",
    );
    expect(codes({}, { named: " Steel  plates" })).toEqual(["acceptance-on"]);
    expect(codes({ plates: "" }, { named: "other plates" })).toEqual(["acceptance-on"]);
  });
});

describe("the shop's own figures", () => {
  const boardsOf = (boards: Record<string, unknown>, outcome = "pass") => {
    const parsed = parseJobFile({
      format: "plumbshot-job",
      version: 1,
      title: "t",
      placement: "p.json",
      boards,
      acceptance: { last: { ...note, outcome } },
    });
    if (!parsed.ok) throw new Error(parsed.problems.join());
    return parsed.job.boards;
  };
  test("stand in for common practice, but not for what the job states, nor after a fail", () => {
    expect(boardsOf({})).toMatchObject({ flatnessMm: 0.31, ownScaleSd: 0.0002 });
    expect(boardsOf({ flatnessMm: 0.5 })).toMatchObject({ flatnessMm: 0.5, ownScaleSd: 0.0002 });
    expect(boardsOf({}, "fail")).toMatchObject({ flatnessMm: 0.2, ownScaleSd: 0.0001 });
  });
});
