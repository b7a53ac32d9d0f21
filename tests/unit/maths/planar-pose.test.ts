import { describe, expect, test } from "vitest";
import { fitHomography } from "../../../src/maths/homography.ts";
import { mirrorPlane, planarPoses } from "../../../src/maths/planar-pose.ts";
import {
  logRotation,
  matMul,
  norm,
  type Pose,
  rotationFromYawPitchRoll,
  sub,
  transform,
  transpose,
} from "../../../src/maths/pose.ts";
import { gridPoints, random } from "../adjust/bay.ts";

const plane = gridPoints(5).map((v) => v * 13);

const imageOf = (pose: Pose, noise = 0, seed = 1): Float64Array => {
  const r = random(seed);
  const image = new Float64Array(plane.length);
  for (let i = 0; i < plane.length; i += 2) {
    const [x, y, z] = transform(pose, [plane[i], plane[i + 1], 0]);
    image[i] = x / z + r.normal(noise);
    image[i + 1] = y / z + r.normal(noise);
  }
  return image;
};

const randomPose = (seed: number): Pose => {
  const r = random(seed);
  // Facing the camera, tilted by up to about 65 degrees.
  const R = matMul(
    [1, 0, 0, 0, -1, 0, 0, 0, -1],
    rotationFromYawPitchRoll(r.uniform(-3, 3), r.uniform(-1.1, 1.1), r.uniform(-0.4, 0.4)),
  );
  const z = r.uniform(500, 4000);
  return { R, t: [r.uniform(-0.4, 0.4) * z, r.uniform(-0.3, 0.3) * z, z] };
};

const turn = (a: Pose, b: Pose): number => norm(logRotation(matMul(transpose(a.R), b.R)));

describe("pose of a plane", () => {
  test("without noise the true pose comes first, 300 random poses", () => {
    for (let seed = 0; seed < 300; seed++) {
      const pose = randomPose(seed);
      const [best] = planarPoses(plane, imageOf(pose));
      expect(turn(best.pose, pose), `pose ${seed}`).toBeLessThan(1e-5);
      expect(norm(sub(best.pose.t, pose.t))).toBeLessThan(1e-3 * pose.t[2]);
    }
  });

  test("with noise the true pose is always among the two kept", () => {
    for (let seed = 0; seed < 300; seed++) {
      const pose = randomPose(seed + 1000);
      // 0.1 px at a focal length of 3000 px.
      const found = planarPoses(plane, imageOf(pose, 0.1 / 3000, seed));
      expect(found.length).toBeGreaterThan(0);
      expect(found.length).toBeLessThanOrEqual(2);
      const turns = found.map((f) => turn(f.pose, pose));
      expect(Math.min(...turns), `pose ${seed}`).toBeLessThan(0.12);
    }
  });

  test("far away with much noise the wrong one fits better now and then, and both are kept", () => {
    let wrongFirst = 0;
    for (let seed = 0; seed < 200; seed++) {
      const { R, t } = randomPose(seed + 2000);
      const pose: Pose = { R, t: [t[0] * (4000 / t[2]), t[1] * (4000 / t[2]), 4000] };
      const turns = planarPoses(plane, imageOf(pose, 0.5 / 3000, seed)).map((f) =>
        turn(f.pose, pose),
      );
      if (turns.length > 1 && turns[1] < turns[0]) wrongFirst++;
    }
    expect(wrongFirst).toBeGreaterThan(0);
    expect(wrongFirst).toBeLessThan(100);
  });

  test("mirroring twice gives the same plane back", () => {
    const pose = randomPose(5);
    expect(turn(mirrorPlane(mirrorPlane(pose)), pose)).toBeLessThan(1e-9);
    expect(turn(mirrorPlane(pose), pose)).toBeGreaterThan(0.05);
  });

  test("too few points or points on a line give nothing", () => {
    expect(planarPoses([0, 0, 1, 0, 0, 1], [0, 0, 0.1, 0, 0, 0.1])).toEqual([]);
    const line = [0, 0, 1, 1, 2, 2, 3, 3, 4, 4];
    expect(fitHomography(line, line)).toBeNull();
  });
});
