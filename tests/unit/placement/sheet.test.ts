import { describe, expect, test } from "vitest";
import { exampleSheets } from "../../../src/placement/sheet/examples/index.ts";
import { checkSchema, expandTiltSteps, limitsOf } from "../../../src/placement/sheet/sheet.ts";
import { readPlacementSheet } from "../../../src/placement/sheet/sheet-questions.ts";
import { targetKinds } from "../../../src/placement/sheet/target-kinds.ts";
import { sheet } from "./scene.ts";

/** The test sheet with the first check changed. */
const withCheck = (change: Record<string, unknown>) => {
  const copy = JSON.parse(JSON.stringify(sheet));
  Object.assign(copy.steps[0].checks[0], change);
  return copy;
};
const codes = (input: unknown) => readPlacementSheet(input).remarks.map((r) => [r.code, r.about]);

describe("invented example sheets", () => {
  test.each(Object.entries(exampleSheets))("%s reads without a question", (_, example) => {
    const reading = readPlacementSheet(JSON.parse(JSON.stringify(example)));
    expect(reading.remarks).toEqual([]);
    expect(reading.ok).toBe(true);
    expect(example.invented).toBe(true);
  });

  test("together they use every kind of check and of target", () => {
    const steps = Object.values(exampleSheets).flatMap((s) => s.steps);
    const used = new Set(
      steps.flatMap((s) => expandTiltSteps(s as never)).flatMap((s) => s.checks.map((c) => c.kind)),
    );
    const kinds = checkSchema.options.map((o) => o.shape.kind.value);
    expect(kinds.length).toBe(16);
    expect([...used].sort()).toEqual([...kinds].sort());
    expect([...new Set(steps.map((s) => s.target.kind))].sort()).toEqual([...targetKinds].sort());
    expect(Object.keys(exampleSheets).length).toBe(5);
  });

  test("tilt steps become steps of their own with one pitch check each", () => {
    const steps = expandTiltSteps(exampleSheets["radar-plate"].steps[0] as never);
    expect(steps.map((s) => s.id)).toEqual(["plate-tilt-1", "plate-tilt-2", "plate-tilt-3"]);
    const pitches = steps.map((s) =>
      s.checks.filter((c) => c.kind === "pitch").map((c) => c.required),
    );
    expect(pitches).toEqual([[0], [2], [-2]]);
  });
});

describe("sheets that cannot be used", () => {
  test("lower deviation above the upper", () => {
    const reading = readPlacementSheet(withCheck({ lowerDeviation: 5, upperDeviation: -5 }));
    expect(reading.ok).toBe(false);
    expect(reading.remarks[0].message).toBe(
      "Placement sheet, steps[0].checks[0]: the lower deviation 5 lies above the upper -5.",
    );
  });

  test.each([
    ["no width", { lowerDeviation: 0, upperDeviation: 0 }, "sheet-no-width"],
    ["both open", { lowerDeviation: null, upperDeviation: null }, "sheet-no-limit"],
    ["a word for a number", { required: "1500" }, "sheet-field"],
    ["an unknown kind", { kind: "distnace" }, "sheet-field"],
  ])("%s", (_, change, code) => {
    const reading = readPlacementSheet(withCheck(change));
    expect(reading.ok).toBe(false);
    expect(reading.remarks.map((r) => r.code)).toContain(code);
    expect(reading.remarks[0].about).toMatch(/^steps\[0\]\.checks\[0\]/);
  });

  // A field that nobody reads would leave the default in its place: another height, another point.
  test("a misspelt field is named, not passed over", () => {
    const reading = readPlacementSheet(withCheck({ fo: { kind: "target" } }));
    expect(reading.ok).toBe(false);
    expect(reading.remarks[0].about).toBe("steps[0].checks[0]");
    expect(reading.remarks[0].message).toContain('no field is called "fo"');
    expect(codes({ ...sheet, secondPositon: true })).toEqual([["sheet-field", "the sheet"]]);
  });

  test("other files, other versions, repeated ids", () => {
    expect(codes([])).toEqual([["sheet-not-object", "the sheet"]]);
    expect(codes({ format: "something" })).toEqual([["sheet-format", "format"]]);
    expect(codes({ ...sheet, version: 2 })).toEqual([["sheet-version", "version"]]);
    expect(codes(withCheck({ id: "lateral" }))).toEqual([["sheet-repeated-id", "steps[0].checks"]]);
  });
});

describe("questions instead of silent acceptance", () => {
  test("a height of 1.2 mm", () => {
    const copy = JSON.parse(JSON.stringify(sheet));
    copy.steps[0].checks[2].required = 1.2;
    const { ok, remarks } = readPlacementSheet(copy);
    expect(ok).toBe(true);
    expect(remarks.map((r) => r.severity)).toEqual(["warning"]);
    expect(remarks[0].message).toContain(
      "height of 1.2 mm is unusual. Is it 1.2 m, that is 1200 mm",
    );
  });

  test("a distance of 59 inches typed as mm", () => {
    const { remarks } = readPlacementSheet(withCheck({ required: 59 }));
    expect(remarks.map((r) => r.code)).toEqual(["sheet-unit"]);
    expect(remarks[0].message).toContain("59 inches, that is 1498.6 mm");
  });

  test("limits typed as deviations", () => {
    expect(codes(withCheck({ lowerDeviation: 1495, upperDeviation: 1505 }))[0][0]).toBe(
      "sheet-required-outside",
    );
  });

  test("a tolerance in metres", () => {
    expect(codes(withCheck({ lowerDeviation: -0.005, upperDeviation: 0.005 }))[0][0]).toBe(
      "sheet-tolerance-size",
    );
  });

  test("a source is asked for once, and not at all where every number states its own", () => {
    const unsourced = JSON.parse(JSON.stringify({ ...sheet, source: " " }));
    expect(codes(unsourced)).toEqual([]);
    unsourced.steps[0].checks[0].reference = "";
    expect(codes(unsourced)).toEqual([["sheet-no-reference", "source"]]);
    expect(codes({ ...unsourced, source: "page 4" })).toEqual([]);
  });

  test("a distance behind the line for a target ahead of the car", () => {
    const codesOf = (change: Record<string, unknown>) =>
      codes(withCheck(change)).map(([code]) => code);
    expect(codesOf({ required: -1500 })).toContain("sheet-negative");
    expect(codesOf({ required: 1500 })).not.toContain("sheet-negative");
    const behind = withCheck({ required: -1500 });
    behind.steps[0].target.facing = "forward";
    expect(codes(behind).map(([code]) => code)).not.toContain("sheet-negative");
  });
});

test("limits are deviations from the required value", () => {
  expect(limitsOf({ required: 1500, lowerDeviation: -5, upperDeviation: null })).toEqual({
    lower: 1495,
    upper: null,
  });
});
