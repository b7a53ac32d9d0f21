/** Filling in a sheet step by step: ids are made, files stay as they are, what is made can be read. */
import { describe, expect, test } from "vitest";
import {
  addCheck,
  addStep,
  blankDraft,
  changeCheck,
  checkKinds,
  draftOf,
  missingIn,
  removeCheck,
  type SheetDraft,
  toleranceWay,
  withStepDraft,
  withTilts,
} from "../../../src/placement/sheet/draft.ts";
import { exampleSheets } from "../../../src/placement/sheet/examples/index.ts";
import { checkSchema } from "../../../src/placement/sheet/sheet.ts";
import { readPlacementSheet } from "../../../src/placement/sheet/sheet-questions.ts";

const board = {
  name: "board",
  kind: "board",
  facing: "rearward",
  widthMm: 600,
  heightMm: 400,
} as const;
const blank = blankDraft("Invented", board);

/** A sheet with one check of every kind, each with a number and a tolerance. */
const complete = (): SheetDraft => {
  const step = checkKinds.reduce(
    (present, kind) =>
      changeCheck(addCheck(present, kind), present.checks.length, {
        required: 500,
        lowerDeviation: -5,
        upperDeviation: 5,
      }),
    blank.steps[0],
  );
  return withStepDraft({ ...blank, source: "invented, page 1" }, 0, step);
};

test("every kind of the file can be added, and what is made reads as a sheet", () => {
  expect([...checkKinds].sort()).toEqual(checkSchema.options.map((o) => o.shape.kind.value).sort());
  const reading = readPlacementSheet(JSON.parse(JSON.stringify(complete())));
  expect(reading.remarks.filter(({ severity }) => severity === "error")).toEqual([]);
  expect(reading.ok).toBe(true);
});

test("ids are made and never repeat", () => {
  const kinds = ["height", "height", "height", "lateral offset"] as const;
  const step = kinds.reduce(addCheck, blank.steps[0]);
  expect(step.checks.map(({ id }) => id)).toEqual(["height", "height-2", "height-3", "sideways"]);
  const less = removeCheck(step, 1);
  expect(addCheck(less, "height").checks.map(({ id }) => id)).toEqual([
    "height",
    "height-3",
    "sideways",
    "height-2",
  ]);
  expect(addStep(addStep(blank, "b"), "c").steps.map(({ id }) => id)).toEqual([
    "step-1",
    "step-2",
    "step-3",
  ]);
});

describe("files of before", () => {
  test.each(Object.entries(exampleSheets))("%s opens unchanged", (_name, sheet) => {
    const file = JSON.parse(JSON.stringify(sheet));
    expect(JSON.parse(JSON.stringify(draftOf(file)))).toEqual(file);
  });

  test("a change touches its own number only", () => {
    const file = JSON.parse(JSON.stringify(exampleSheets.crossbar));
    const draft = draftOf(file);
    expect(draft).not.toBeNull();
    const changed = withStepDraft(draft!, 0, changeCheck(draft!.steps[0], 0, { required: 1010 }));
    const expected = JSON.parse(JSON.stringify(file));
    expected.steps[0].checks[0].required = 1010;
    expect(JSON.parse(JSON.stringify(changed))).toEqual(expected);
  });

  test.each([[null], [{}], [{ steps: [] }], [{ steps: [{ id: "a" }] }], ["text"]])(
    "%j is no draft",
    (sheet) => expect(draftOf(sheet)).toBeNull(),
  );
});

test("what is missing is listed until the sheet is complete", () => {
  expect(missingIn(blank)).toEqual([{ step: 0, check: null, what: "check" }]);
  const one = addCheck(blank.steps[0], "distance");
  expect(missingIn(withStepDraft(blank, 0, one))).toEqual([{ step: 0, check: 0, what: "value" }]);
  const valued = changeCheck(one, 0, { required: 2500 });
  expect(missingIn(withStepDraft(blank, 0, valued))).toEqual([
    { step: 0, check: 0, what: "tolerance" },
  ]);
  expect(missingIn(complete())).toEqual([]);
  // A number that is missing is refused, not taken for zero.
  const holed = withStepDraft(blank, 0, one);
  expect(readPlacementSheet(JSON.parse(JSON.stringify(holed))).ok).toBe(false);
});

test.each([
  [-5, 5, "plus-minus"],
  [-5, 10, "two sides"],
  [null, 10, "at most"],
  [-10, null, "at least"],
  [null, null, null],
] as const)("deviations %s and %s are written as %s", (lower, upper, way) => {
  expect(toleranceWay({ lowerDeviation: lower, upperDeviation: upper })).toBe(way);
});

test("an empty row of tilts takes them away", () => {
  const tilt = { label: "up", pitch: 2, lowerDeviation: -1, upperDeviation: 1, reference: "" };
  const tilted = withTilts(blank.steps[0], [tilt]);
  expect(tilted.tiltSteps).toEqual([tilt]);
  expect("tiltSteps" in withTilts(tilted, [])).toBe(false);
});
