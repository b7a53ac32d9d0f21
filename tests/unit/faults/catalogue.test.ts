import { describe, expect, test } from "vitest";
import { consequenceOf } from "../../../src/job/result/consequences.ts";
import { catalogue } from "../../faults/catalogue.ts";
import { families } from "../../faults/fault.ts";
import { internalNamesIn } from "../../faults/internal-names.ts";
import { judge } from "../../faults/judge.ts";

describe("the catalogue of faults", () => {
  test("has sixty and more in five families, each with its own name and words", () => {
    expect(catalogue.length).toBeGreaterThanOrEqual(60);
    expect(new Set(catalogue.map(({ name }) => name)).size).toBe(catalogue.length);
    for (const family of families)
      expect(catalogue.filter((fault) => fault.family === family).length).toBeGreaterThan(8);
    for (const { name, how, never, said, strengths, taking, found, written } of catalogue) {
      expect(how.length * never.length * said.length * strengths.length, name).toBeGreaterThan(0);
      expect([taking, found, written].some(Boolean), name).toBe(true);
    }
  });

  test("a bay without any fault meets, and nothing is blamed", () => {
    const clean = judge(null, 0, 1, "plain");
    expect(clean.outcome).toBe("all meet");
    expect(clean.worst).toBeLessThan(1.5);
    // What the hand did is told as a fact; it blames nobody and does nothing to the verdict.
    expect(clean.codes.filter((code) => consequenceOf(code) !== "harmless")).toEqual([]);
  });

  test("the check for internal names finds those that were printed once", () => {
    for (const said of [
      "Taught:board:21 (4 of 6) does not fit the rest.",
      "Lens of camera camera does not fit the rest (off by 299.9 of its stated standard deviations).",
      "Board 1@B in photo x does not fit.",
      "its features miss by 0.01 px, usual is 0.00 px.",
      "(632 where 13 is usual)",
    ])
      expect(internalNamesIn(said), said).not.toEqual([]);
    expect(internalNamesIn("The measured length (board 21, 15) does not fit the photos.")).toEqual(
      [],
    );
  });
});

/** One of each kind; the bench runs all. */
const samples = [
  "print-scaled",
  "wheel-id-twice",
  "length-misread",
  "stale-profile",
  "half-a-job",
  "one-position-listed",
];

describe("faults in a simulated bay", () => {
  test.each(samples)("%s is named, and no sentence carries the program's own names", (name) => {
    const fault = catalogue.find((one) => one.name === name)!;
    const judged = judge(fault, fault.strengths.at(-1)!, 1, "plain");
    expect(judged.kind, judged.codes.join(" ")).toBe("named");
    expect(judged.sentences.flatMap(internalNamesIn)).toEqual([]);
  });
});
