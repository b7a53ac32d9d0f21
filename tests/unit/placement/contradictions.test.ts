import { describe, expect, test } from "vitest";
import { placementRemarks } from "../../../src/placement/assemble.ts";
import { unseenRemarks } from "../../../src/placement/checks/unseen.ts";
import { exampleSheets } from "../../../src/placement/sheet/examples/index.ts";
import { placementSheetSchema } from "../../../src/placement/sheet/sheet.ts";
import { setup, sheet, step, targetSetup } from "./scene.ts";

const codes = (s: typeof setup, p: typeof sheet) =>
  placementRemarks(s, p).map((r) => [r.code, r.severity]);

describe("what the job lacks is named before anything is computed", () => {
  test("nothing to say about a job that fits", () => expect(codes(setup, sheet)).toEqual([]));

  test("missing wheels are named", () => {
    const { "rear left": _, ...wheels } = setup.vehicle.wheels;
    const remarks = placementRemarks({ ...setup, vehicle: { ...setup.vehicle, wheels } }, sheet);
    expect(remarks.map((r) => r.code)).toEqual(["wheels-missing"]);
    expect(remarks[0].message).toContain("rear left");
    const thrust = placementRemarks(
      { ...setup, vehicle: { ...setup.vehicle, wheels } },
      { ...sheet, axis: "thrust line" },
    );
    expect(thrust.map((r) => r.code)).toEqual(["wheels-missing", "thrust-needs-plates"]);
  });

  test("an origin that the job does not have", () => {
    const origin = { kind: "dropped point", name: "nose", lateralFrom: "axis" } as const;
    expect(codes(setup, { ...sheet, origin })).toEqual([["origin-missing", "error"]]);
  });

  test("another target: a question with one target, an error with several", () => {
    const other = { ...step, target: { ...step.target, name: "plate" } };
    expect(codes(setup, { ...sheet, steps: [other] })).toEqual([["target-other-name", "warning"]]);
    const two = { ...setup, targets: [targetSetup, { ...targetSetup, name: "second" }] };
    expect(codes(two, { ...sheet, steps: [other] })).toEqual([["target-missing", "error"]]);
  });

  test("corners of a target without a size, a floor of two boards", () => {
    const mats = placementSheetSchema.parse(exampleSheets["surround-mats"]);
    const bare = { ...targetSetup, name: "mat ahead", widthMm: undefined, heightMm: undefined };
    const first = { ...mats.steps[0], target: { ...mats.steps[0].target, widthMm: undefined } };
    const found = placementRemarks({ ...setup, targets: [bare] }, { ...mats, steps: [first] });
    expect(found.length).toBe(6);
    expect(new Set(found.map((r) => r.code))).toEqual(new Set(["target-size-missing"]));
    const floor = { kind: "boards", boards: [{ board: "11", heightMm: 3 }] } as const;
    expect(codes({ ...setup, vehicle: { ...setup.vehicle, floor } }, sheet)).toEqual([
      ["floor-boards-few", "error"],
    ]);
  });
});

describe("corners of another target", () => {
  const other = { ...targetSetup, name: "plate", widthMm: undefined, heightMm: undefined };
  const sized = { ...step.target, widthMm: 1000, heightMm: 600 };
  const corner = (target?: string) => ({
    ...step.checks[0],
    of: { kind: "target corner" as const, corner: "upper left" as const, target },
  });
  const remarksOn = (targets: (typeof setup)["targets"], target?: string) =>
    placementRemarks(
      { ...setup, targets },
      { ...sheet, steps: [{ ...step, target: sized, checks: [corner(target)] }] },
    ).filter(({ severity }) => severity === "error");

  test("do not take the size of the step's own target", () => {
    const found = remarksOn([targetSetup, other], "plate");
    expect(found.map((r) => r.code)).toEqual(["target-size-missing"]);
    expect(found[0].message).toContain('"plate"');
  });

  test("are refused where the job has no such target, even with one target only", () => {
    expect(remarksOn([targetSetup], "plate").map((r) => r.code)).toEqual(["target-missing"]);
  });

  test("of the only target count as stated under whatever name", () => {
    const bare = { ...step, target: { ...step.target, name: "x" }, checks: [corner()] };
    expect(codes(setup, { ...sheet, steps: [bare] })).toEqual([["target-other-name", "warning"]]);
  });
});

describe("what no photo shows is named before anything is computed", () => {
  const point = { name: "nose", board: "21" };
  const withPoint = { ...setup, vehicle: { ...setup.vehicle, points: [point] } };
  const from = { kind: "dropped point", name: "nose" } as const;
  const needing = {
    ...step,
    checks: [
      {
        ...step.checks[0],
        kind: "range" as const,
        from,
        to: { kind: "floor board" as const, board: "14" },
      },
    ],
  };

  test("points and floor boards by name, once each", () => {
    const seen = (key: string) => key !== "21" && key !== "14";
    const found = unseenRemarks(withPoint, sheet, needing, seen);
    expect(found.map((r) => r.code)).toEqual(["point-unseen", "point-unseen"]);
    expect(found[0].message).toContain('the point "nose" (board 21)');
    expect(found[1].message).toContain("floor board 14");
    expect(unseenRemarks(withPoint, sheet, needing, () => true)).toEqual([]);
  });

  test("a floor of two boards in the photos", () => {
    const seen = (key: string) => !/^1[3-6]$/.test(key);
    expect(unseenRemarks(setup, sheet, step, seen).map((r) => r.code)).toEqual([
      "floor-boards-few",
    ]);
  });

  // A hub's dropped point stands in for an unseen plate everywhere but in the thrust line.
  test("a rear plate that only the thrust line needs", () => {
    const rear = { ...setup.vehicle.wheels["rear left"], plumbPoint: "nose" };
    const vehicle = {
      ...withPoint.vehicle,
      wheels: { ...setup.vehicle.wheels, "rear left": rear },
    };
    const seen = (key: string) => key !== "3";
    const unseen = (axis: typeof sheet.axis) =>
      unseenRemarks({ ...setup, vehicle }, { ...sheet, axis }, step, seen).map((r) => r.code);
    expect(unseen("geometric centreline")).toEqual([]);
    expect(unseen("thrust line")).toEqual(["wheels-unseen"]);
  });

  // The range of one board is nought: a floor that nobody measured would count as flat.
  test("floor boards that a flatness check names", () => {
    const flat = {
      ...step,
      checks: [{ ...step.checks[0], kind: "floor flatness" as const, boards: ["11", "12", "13"] }],
    };
    const found = unseenRemarks(setup, sheet, flat, (key) => key !== "12" && key !== "13");
    expect(found.map((r) => r.code)).toEqual(["point-unseen", "point-unseen"]);
    const stand = { ...flat, checks: [{ ...flat.checks[0], boards: ["11", "12", "31"] }] };
    const named = placementRemarks(setup, { ...sheet, steps: [stand] });
    expect(named.map((r) => [r.code, r.severity])).toEqual([["flatness-board-unknown", "error"]]);
    expect(named[0].message).toContain("board 31");
    expect(placementRemarks(setup, { ...sheet, steps: [flat] })).toEqual([]);
  });
});
