import { distort, type Lens, undistort } from "../../lens/lens.ts";
import { applyHomography, type Homography } from "../../maths/homography.ts";

/**
 * Takes pixels to "plane pixels" and back: the pixels of a pinhole camera with the same focal length
 * and principal point but no distortion. A flat board maps to the plane by a homography.
 */
export interface PlaneMap {
  toPlane(pixels: ArrayLike<number>): Float64Array;
  fromPlane(x: number, y: number): [number, number];
  readonly lens: Lens | null;
  /** True where plane and pixels are the same. */
  readonly isIdentity: boolean;
}

/** Map of a known lens, or the identity where the lens is not known. */
export function planeMap(lens: Lens | null): PlaneMap {
  if (!lens)
    return {
      lens,
      isIdentity: true,
      toPlane: (p) => Float64Array.from(p),
      fromPlane: (x, y) => [x, y],
    };
  return {
    lens,
    isIdentity: false,
    toPlane(pixels) {
      const out = new Float64Array(pixels.length);
      for (let i = 0; i < pixels.length; i += 2) {
        const ray = undistort(
          lens,
          (pixels[i] - lens.cx) / lens.fx,
          (pixels[i + 1] - lens.cy) / lens.fy,
        );
        // Beyond the fold the model means nothing; the pixel itself is the better guess there.
        out[i] = ray ? ray[0] * lens.fx + lens.cx : pixels[i];
        out[i + 1] = ray ? ray[1] * lens.fy + lens.cy : pixels[i + 1];
      }
      return out;
    },
    fromPlane(x, y) {
      const [dx, dy] = distort(lens, (x - lens.cx) / lens.fx, (y - lens.cy) / lens.fy);
      return [dx * lens.fx + lens.cx, dy * lens.fy + lens.cy];
    },
  };
}

/** Corners of the print in the photo, px. */
export function outlineOf(
  homography: Homography,
  corners: readonly number[],
  map: PlaneMap,
): Float64Array {
  const outline = new Float64Array(corners.length);
  for (let i = 0; i < corners.length; i += 2) {
    const [x, y] = applyHomography(homography, corners[i], corners[i + 1]);
    outline.set(map.fromPlane(x, y), i);
  }
  return outline;
}
