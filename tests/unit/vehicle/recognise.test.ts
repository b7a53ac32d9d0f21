import { describe, expect, test } from "vitest";
import { compose, expRotation, type Pose, type Vec3 } from "../../../src/maths/pose.ts";
import { type BoardsOfWheels, recogniseWheels } from "../../../src/vehicle/recognise.ts";
import { buildScene } from "../placement/scene.ts";

const { poses } = buildScene();
const up: Vec3 = [0, 0, 1];
const ahead = poses["target:test board"].t;
const right: BoardsOfWheels = {
  "front left": "1",
  "front right": "2",
  "rear left": "3",
  "rear right": "4",
};
const swap = (a: keyof BoardsOfWheels, b: keyof BoardsOfWheels, from = right): BoardsOfWheels => ({
  ...from,
  [a]: from[b],
  [b]: from[a],
});
const pose = (key: string): Pose | undefined => poses[key];

describe("which board is on which wheel", () => {
  test("right places pass without a word", () => {
    const { fitting, remarks } = recogniseWheels(right, pose, up, ahead);
    expect(fitting).toEqual(right);
    expect(remarks).toEqual([]);
  });

  test.each([
    ["left and right", swap("rear left", "rear right", swap("front left", "front right"))],
    ["front and rear", swap("front left", "rear left", swap("front right", "rear right"))],
    ["left and right", swap("front left", "front right")],
    ["front and rear", swap("front left", "rear left")],
  ])("swapped %s", (kind, claimed) => {
    const { fitting, remarks } = recogniseWheels(claimed, pose, up, ahead);
    expect(fitting).toEqual(right);
    expect(remarks.map((r) => [r.code, r.severity])).toEqual([["wheel-boards-swapped", "error"]]);
    expect(remarks[0].message).toContain(`swapped ${kind}`);
  });

  test("both swapped looks like a car that faces the other way: only the target tells", () => {
    const turned = swap("front left", "rear right", swap("front right", "rear left"));
    expect(recogniseWheels(turned, pose, up, null).remarks).toEqual([]);
    expect(recogniseWheels(turned, pose, up, ahead).fitting).toEqual(right);
  });

  test("a board upside down is mentioned, not refused", () => {
    const over = (key: string) =>
      key === "2"
        ? compose(poses["2"], { R: expRotation([0, 0, Math.PI]), t: [0, 0, 0] })
        : poses[key];
    const { fitting, remarks } = recogniseWheels(right, over, up, ahead);
    expect(fitting).toEqual(right);
    expect(remarks.map((r) => r.code)).toEqual(["wheel-board-upside-down"]);
  });

  test("a board whose face looks inward fits no place", () => {
    const inward = (key: string) =>
      key === "3"
        ? compose(poses["3"], { R: expRotation([0, Math.PI, 0]), t: [0, 0, 0] })
        : poses[key];
    const { fitting, remarks } = recogniseWheels(right, inward, up, ahead);
    expect(fitting).toBeNull();
    expect(remarks[0].code).toBe("wheel-boards-no-fit");
  });
});
