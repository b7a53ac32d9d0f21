import { describe, expect, test } from "vitest";
import { consequenceOf } from "../../../src/job/result/consequences.ts";
import { drawCase } from "../../faults/case.ts";
import { catalogue } from "../../faults/catalogue.ts";
import { type Fault, families } from "../../faults/fault.ts";
import { internalNamesIn } from "../../faults/internal-names.ts";
import { type CheckFacts, type Facts, judged, runFault } from "../../faults/judge.ts";

const judge = (fault: Fault | null, strength: number) =>
  judged(fault, runFault(drawCase(1, "plain"), fault, strength, "1 plain"));

describe("the catalogue of faults", () => {
  test("has sixty and more in five families, each with its own name and words", () => {
    expect(catalogue.length).toBeGreaterThanOrEqual(60);
    expect(new Set(catalogue.map(({ name }) => name)).size).toBe(catalogue.length);
    for (const family of families)
      expect(catalogue.filter((fault) => fault.family === family).length).toBeGreaterThan(8);
    for (const fault of catalogue) {
      const { name, how, never, said, strengths, taking, found, written, picture } = fault;
      expect(how.length * never.length * said.length * strengths.length, name).toBeGreaterThan(0);
      expect([taking, found, written, picture].some(Boolean), name).toBe(true);
    }
  });

  test("a bay without any fault meets, and nothing is blamed", () => {
    const clean = judge(null, 0);
    expect(clean.outcome).toBe("all meet");
    expect(clean.worst).toBeLessThan(1.5);
    // What the hand did is told as a fact; it blames nobody and does nothing to the verdict.
    const codes = clean.remarks.map(({ code }) => code);
    expect(codes.filter((code) => consequenceOf(code) !== "harmless")).toEqual([]);
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

describe("the judge", () => {
  const fault: Fault = {
    ...{ name: "a fault", family: "bay", how: "", never: "", strengths: [1] },
    said: [{ code: "board-moved", values: { board: "11" } }],
    guilty: [11],
  };
  const moved = (board: string) => ({
    ...{ code: "board-moved", message: "", remedy: "" },
    values: { board },
  });
  const inside: CheckFacts = {
    ...{ id: "left", verdict: "meets", measured: 1, expanded: 2, truth: 0, trulyInside: true },
  };
  const facts: Facts = {
    ...{ fault: "a fault", strength: 1, seed: 1, outcome: "all meet", checks: [inside] },
    ...{ heldBack: [], remarks: [] },
  };
  const kind = (change: Partial<Facts>, of: Fault = fault): string =>
    judged(of, { ...facts, ...change }).kind;
  const wrong: CheckFacts = { ...inside, measured: 4 };
  const wrongMiss: CheckFacts = { ...inside, verdict: "misses", measured: 1 };

  test("a wrong number or verdict is silent whatever is said, unless something holds it back", () => {
    const remarks = [moved("11")];
    expect(kind({ checks: [wrong], remarks })).toBe("silent and wrong");
    expect(kind({ outcome: "some miss", checks: [wrongMiss], remarks })).toBe("silent and wrong");
    const open = { ...wrong, verdict: "not proven" };
    expect(kind({ outcome: "not proven", checks: [open], remarks })).toBe("silent and wrong");
    const held = { outcome: "not proven", heldBack: ["unsteady"] } as const;
    expect(kind({ ...held, checks: [open], remarks })).toBe("named");
    expect(kind({ ...held, checks: [open] })).toBe("unnamed, safe");
    expect(kind({}, { ...fault, neverConfident: true })).toBe("silent and wrong");
  });

  test("only the right cause names a fault", () => {
    expect(kind({})).toBe("harmless");
    expect(kind({ remarks: [moved("11")] })).toBe("named");
    expect(kind({ remarks: [moved("12")] })).toBe("harmless");
    expect(kind({ remarks: [moved("11"), moved("12")] })).toBe("harmless");
    expect(kind({ outcome: "refused", checks: [] })).toBe("unnamed, safe");
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
    const { kind, remarks } = judge(fault, fault.strengths.at(-1)!);
    expect(kind, remarks.map(({ code }) => code).join(" ")).toBe("named");
    expect(remarks.flatMap(({ message, remedy }) => internalNamesIn(message + remedy))).toEqual([]);
  });
});
