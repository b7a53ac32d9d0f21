/**
 * Where a camera sees a point, written down a second time for tests: nothing here comes from the
 * program, so that a sign or frame that is wrong there cannot cancel in a simulation.
 *
 * Conventions, as in the manual of OpenCV ("Camera Calibration and 3D Reconstruction"): camera x
 * right, y down, z ahead; pixels x right, y down, the centre of the top left pixel is (0, 0); radial
 * k1 k2 k3, tangential p1 p2. A pose (R, t) takes x of the inner frame to R x + t of the outer one.
 */

type Numbers = ArrayLike<number>;

/** R row by row, nine numbers; t three numbers, mm. */
export interface TruePose {
  readonly R: Numbers;
  readonly t: Numbers;
}

export interface TrueLens {
  readonly fx: number;
  readonly fy: number;
  readonly cx: number;
  readonly cy: number;
  readonly k1: number;
  readonly k2: number;
  readonly p1: number;
  readonly p2: number;
  readonly k3: number;
}

/** What one photo changed: focal lengths times 1 + focal, principal point moved by px. */
export interface TrueChange {
  readonly focal: number;
  readonly shiftX: number;
  readonly shiftY: number;
}

/** The point in the outermost frame; `poses` from the outermost to the innermost. */
export const carried = (poses: readonly TruePose[], point: Numbers): [number, number, number] => {
  let p: [number, number, number] = [point[0], point[1], point[2]];
  for (const { R, t } of [...poses].reverse())
    p = [0, 1, 2].map((row) => {
      let sum = t[row];
      for (let k = 0; k < 3; k++) sum += R[3 * row + k] * p[k];
      return sum;
    }) as [number, number, number];
  return p;
};

/**
 * The bent image point of a straight one, both over the focal length. As one complex number
 * z = x + i y with p = p2 + i p1, the model reads z (1 + k1 |z|^2 + k2 |z|^4 + k3 |z|^6)
 * + conj(p) z^2 + 2 p |z|^2, which is the manual's pair of formulas.
 */
export const bent = (lens: TrueLens, x: number, y: number): [number, number] => {
  const s = x * x + y * y;
  const along = 1 + lens.k1 * s + lens.k2 * s ** 2 + lens.k3 * s ** 3;
  const [squareX, squareY] = [x * x - y * y, 2 * x * y];
  return [
    along * x + (lens.p2 * squareX + lens.p1 * squareY) + 2 * lens.p2 * s,
    along * y + (lens.p2 * squareY - lens.p1 * squareX) + 2 * lens.p1 * s,
  ];
};

/** The straight image point of a bent one, by repeated correction; null where that does not settle. */
export const straightened = (lens: TrueLens, x: number, y: number): [number, number] | null => {
  let [sx, sy] = [x, y];
  for (let round = 0; round < 200; round++) {
    const [bx, by] = bent(lens, sx, sy);
    const [missX, missY] = [x - bx, y - by];
    if (Math.abs(missX) + Math.abs(missY) < 1e-13) return [sx, sy];
    [sx, sy] = [sx + missX, sy + missY];
    if (!(Math.abs(sx) + Math.abs(sy) < 10)) return null;
  }
  const [bx, by] = bent(lens, sx, sy);
  return Math.abs(x - bx) + Math.abs(y - by) < 1e-10 ? [sx, sy] : null;
};

/** Pixel of a point of the innermost frame; null behind the camera. The outermost is the camera. */
export const truePixelOf = (
  lens: TrueLens,
  poses: readonly TruePose[],
  point: Numbers,
  change: TrueChange = { focal: 0, shiftX: 0, shiftY: 0 },
): [number, number] | null => {
  const [x, y, z] = carried(poses, point);
  if (z <= 0) return null;
  const [bx, by] = bent(lens, x / z, y / z);
  const scale = 1 + change.focal;
  return [
    lens.cx + change.shiftX + scale * lens.fx * bx,
    lens.cy + change.shiftY + scale * lens.fy * by,
  ];
};

/** Direction (x, y, 1) of the line of sight of a pixel, or null where the lens has no such pixel. */
export const trueSight = (lens: TrueLens, u: number, v: number): [number, number] | null =>
  straightened(lens, (u - lens.cx) / lens.fx, (v - lens.cy) / lens.fy);
