import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { project, unproject } from "../../../src/lens/lens.ts";
import { compose, expRotation, type Pose, transform } from "../../../src/maths/pose.ts";
import { bent, truePixelOf, trueSight } from "../../oracle/camera.ts";

const plain = { fx: 1000, fy: 1100, cx: 500, cy: 400, k1: 0, k2: 0, p1: 0, p2: 0, k3: 0 };
const wide = { ...plain, k1: 0.08, k2: -0.2, p1: 0.0006, p2: -0.0004, k3: 0.12 };
const here: Pose = { R: [1, 0, 0, 0, 1, 0, 0, 0, 1], t: [0, 0, 0] };

describe("the second camera", () => {
  it("has the signs of the convention, by hand", () => {
    // Two ahead, one to the right, half down: 0.5 and 0.25 over the focal length.
    expect(truePixelOf(plain, [here], [1, 0.5, 2])).toEqual([1000, 675]);
    expect(truePixelOf(plain, [here], [0, 0, -1])).toBeNull();
    // A quarter turn about the line of sight, clockwise as seen: right becomes down.
    const turned: Pose = { R: [0, -1, 0, 1, 0, 0, 0, 0, 1], t: [0, 0, 2] };
    expect(truePixelOf(plain, [turned], [1, 0, 0])).toEqual([500, 950]);
  });

  it("bends as the manual's formulas say, by hand", () => {
    // x = 0.3, y = 0.4, r^2 = 0.25: radial 1 + 0.25 a + 0.0625 b + 0.015625 c.
    const lens = { ...plain, k1: 0.1, k2: 0.2, k3: 0.4, p1: 0.01, p2: 0.02 };
    const radial = 1 + 0.025 + 0.0125 + 0.00625;
    const [x, y] = bent(lens, 0.3, 0.4);
    expect(x).toBeCloseTo(0.3 * radial + 2 * 0.01 * 0.12 + 0.02 * (0.25 + 0.18), 14);
    expect(y).toBeCloseTo(0.4 * radial + 0.01 * (0.25 + 0.32) + 2 * 0.02 * 0.12, 14);
  });

  const some = (least: number, most: number) => fc.double({ min: least, max: most, noNaN: true });
  const anyPose = fc
    .tuple(some(-0.4, 0.4), some(-0.4, 0.4), some(-3, 3), some(-300, 300), some(-300, 300))
    .map(([a, b, c, x, y]): Pose => ({ R: expRotation([a, b, c]), t: [x, y, 2000] }));

  it("agrees with the program's, through two poses and a photo's own change", () => {
    let seen = 0;
    fc.assert(
      fc.property(
        anyPose,
        anyPose,
        fc.tuple(some(-400, 400), some(-400, 400), some(-50, 50)),
        fc.record({ focal: some(-0.01, 0.01), shiftX: some(-20, 20), shiftY: some(-20, 20) }),
        (outer, inner, point, change) => {
          const ours = project(wide, transform(compose(outer, inner), point), change);
          const truth = truePixelOf(wide, [outer, inner], point, change);
          expect(ours === null).toBe(truth === null);
          if (!ours || !truth) return;
          seen++;
          expect(ours[0]).toBeCloseTo(truth[0], 8);
          expect(ours[1]).toBeCloseTo(truth[1], 8);
        },
      ),
    );
    expect(seen).toBeGreaterThan(50);
  });

  it("agrees with the program's about lines of sight", () => {
    for (let u = 0; u <= 1000; u += 50)
      for (let v = 0; v <= 800; v += 50) {
        const [ours, truth] = [unproject(wide, u, v)!, trueSight(wide, u, v)!];
        expect(ours[0]).toBeCloseTo(truth[0], 10);
        expect(ours[1]).toBeCloseTo(truth[1], 10);
      }
  });
});
