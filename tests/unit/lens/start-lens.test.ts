import { describe, expect, it } from "vitest";
import { sheetCorners } from "../../../src/boards/sheet.ts";
import { focalFromPlanes, lensFromExif, startLens } from "../../../src/lens/initial-lens.ts";
import { type Lens, project } from "../../../src/lens/lens.ts";
import { expRotation, transform, type Vec3 } from "../../../src/maths/pose.ts";

const lens: Lens = {
  fx: 3020,
  fy: 3020,
  cx: 2015.5,
  cy: 1511.5,
  k1: 0,
  k2: 0,
  p1: 0,
  p2: 0,
  k3: 0,
};

const viewAt = (turn: Vec3, distance: number, withLens = lens) => {
  const pose = { R: expRotation(turn), t: [10, -20, distance] as Vec3 };
  const pixels = sheetCorners.flatMap(
    (c) => project(withLens, transform(pose, [c.x * 25, -c.y * 25, 0])) ?? [],
  );
  return { boardPoints: sheetCorners.flatMap((c) => [c.x, c.y]), pixels };
};

describe("start lens", () => {
  const tilted = [viewAt([0.5, 0, 0], 500), viewAt([0, 0.5, 0], 500), viewAt([0.3, -0.4, 0], 600)];

  it("finds the focal length from tilted photos without EXIF", () => {
    expect(Math.abs(focalFromPlanes(tilted, 4032, 3024)! - 3020)).toBeLessThan(0.5);
  });

  it("is near enough with real distortion", () => {
    const barrel = { ...lens, k1: -0.1, k2: 0.05 };
    const views = [
      [0.5, 0, 0],
      [0, 0.5, 0],
      [-0.4, 0.3, 0],
    ].map((turn) => viewAt(turn as unknown as Vec3, 400, barrel));
    const focal = focalFromPlanes(views, 4032, 3024)!;
    expect(Math.abs(focal / 3020 - 1)).toBeLessThan(0.25);
  });

  it("cannot tell from face-on photos, and then asks the EXIF", () => {
    const flat = [viewAt([0, 0, 0], 500), viewAt([0, 0, 1], 700)];
    const exif = { focalLength35mm: 26 } as Parameters<typeof lensFromExif>[0];
    expect(startLens(flat, exif, 4032, 3024).from).toBe("EXIF");
    expect(startLens(flat, null, 4032, 3024).from).toBe("common phone");
  });

  it("takes the 35 mm equivalent by the diagonal", () => {
    // 43.27 mm is the diagonal of 36 x 24 mm; a 26 mm equivalent on 5040 px diagonal.
    const exif = { focalLength35mm: 26 } as Parameters<typeof lensFromExif>[0];
    const start = lensFromExif(exif, 4032, 3024)!;
    expect(Math.abs(start.lens.fx - (26 * 5040) / 43.2666)).toBeLessThan(0.1);
    expect(lensFromExif(null, 4032, 3024)).toBeNull();
  });
});
