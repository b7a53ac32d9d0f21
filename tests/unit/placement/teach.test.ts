import { describe, expect, test } from "vitest";
import { jobTargetOf } from "../../../src/job/file/library-target.ts";
import {
  compose,
  expRotation,
  identityPose,
  localCoordinates,
  type Pose,
  transform,
  type Vec3,
} from "../../../src/maths/pose.ts";
import { targetFromBoard } from "../../../src/placement/target/target.ts";
import { targetLibrarySchema } from "../../../src/placement/target/target-library.ts";
import { frameOfPoints, teachTarget } from "../../../src/placement/target/teach.ts";
import { fakeSolution } from "./fake-solution.ts";

/** A target somewhere in the bay, two stand boards, three pointed points; all by hand. */
const bayFromTarget: Pose = { R: expRotation([0.2, -0.5, 1.1]), t: [400, -900, 1100] };
const offsets: Record<string, Pose> = {
  "31": { R: expRotation([0, 0, 0]), t: [-300, -50, 12] },
  "32": { R: expRotation([0.05, -0.1, 0.3]), t: [310, -40, 8] },
};
const pointed: Record<string, Vec3> = { "41": [0, 0, 0], "42": [400, 0, 0], "43": [30, 250, 0] };
const scene = {
  poses: Object.fromEntries([
    ...Object.entries(offsets).map(([k, p]) => [k, compose(bayFromTarget, p)] as const),
    ...Object.entries(pointed).map(
      ([k, p]) => [k, { R: expRotation([1, 0.4, 0]), t: transform(bayFromTarget, p) }] as const,
    ),
  ]),
  scalars: {},
  poseSd: { "31": [0.0002, 0.2], "32": [0.0002, 0.2], "41": [0.001, 0.2] } as const,
};
const points = { reference: { board: "41" }, right: { board: "42" }, above: { board: "43" } };

describe("teaching a target with pointer boards", () => {
  const taught = teachTarget(fakeSolution(scene), ["31", "32"], points, 0.5);

  test("gives back the offsets that were built in, turns included", () => {
    expect(taught.map((t) => t.board)).toEqual(["31", "32"]);
    for (const t of taught) {
      const error = localCoordinates(offsets[t.board], targetFromBoard(t));
      expect(Math.max(...error.map(Math.abs)), t.board).toBeLessThan(1e-9);
    }
  });

  test("is as unsure as photos and touching together", () => {
    for (const t of taught) {
      expect(t.shiftSdMm).toBeGreaterThan(Math.hypot(0.5, 0.2));
      expect(t.shiftSdMm).toBeLessThan(1);
      // Touching with 0.5 mm over 250 mm: 0.7 / 252 rad = 0.16 degrees.
      expect(t.turnSdDeg).toBeGreaterThan(0.15);
      expect(t.turnSdDeg).toBeLessThan(0.25);
    }
  });

  // 250 mm away, but only 50 mm above the line: touching with 0.5 mm turns the face by
  // sqrt(2) 0.5 / 50 rad = 0.81 degrees.
  test("a point hardly above the line leaves the turn as unsure as it is", () => {
    const low = transform(bayFromTarget, [245, 50, 0]);
    const poses = { ...scene.poses, "43": { ...scene.poses["43"], t: low } };
    const [first] = teachTarget(fakeSolution({ ...scene, poses }), ["31"], points, 0.5);
    expect(first.turnSdDeg).toBeGreaterThan(0.8);
  });

  test("points in one line are refused", () => {
    expect(() => frameOfPoints([0, 0, 0], [100, 0, 0], [200, 0, 0])).toThrow(RangeError);
    const frame = frameOfPoints([0, 0, 0], [5, 0, 0], [3, 9, 0]);
    expect(localCoordinates(identityPose, frame).every((v) => Math.abs(v) < 1e-12)).toBe(true);
  });
});

describe("target library", () => {
  const entry = {
    name: "camera board",
    kind: "board",
    storedAt: "rack 2, upper shelf",
    widthMm: 1200,
    heightMm: 800,
    boards: [{ board: "31", centreInTargetMm: [-400, 0, 15], shiftSdMm: 0.5, turnSdDeg: 0.1 }],
    taught: { how: "typed offsets", on: "2026-03-02" },
  };
  const file = { format: "plumbshot-targets", version: 1, targets: [entry] };

  test("reads, and hands the placement part on", () => {
    const library = targetLibrarySchema.parse(file);
    const target = jobTargetOf(library.targets[0]);
    expect(target.name).toBe("camera board");
    expect(target.boards[0].board).toBe(31);
    expect(target.boards[0].centreMm).toEqual([-400, 0, 15]);
  });

  test("a board is a tag's number, as the job wants it", () => {
    const bad = JSON.parse(JSON.stringify(file));
    for (const board of ["", "left", "31b", "587"]) {
      bad.targets[0].boards[0].board = board;
      expect(targetLibrarySchema.safeParse(bad).success, board).toBe(false);
    }
  });

  test("names the field that is wrong", () => {
    const bad = JSON.parse(JSON.stringify(file));
    bad.targets[0].boards[0].shiftSdMm = -1;
    const parsed = targetLibrarySchema.safeParse(bad);
    expect(parsed.success).toBe(false);
    expect(parsed.error?.issues[0].path).toEqual(["targets", 0, "boards", 0, "shiftSdMm"]);
  });
});
