/** a, b, c, d, e, f as canvas and SVG take them: x' = a x + c y + e, y' = b x + d y + f. */
export type PlaneTransform = readonly [
  a: number,
  b: number,
  c: number,
  d: number,
  e: number,
  f: number,
];

/**
 * Shows a stored picture of w x h as its EXIF orientation (1 .. 8) asks for. Coordinates begin at
 * the picture's corner, not at the centre of its first pixel.
 */
export function turnOf(orientation: number, w: number, h: number): PlaneTransform {
  switch (orientation) {
    case 2:
      return [-1, 0, 0, 1, w, 0];
    case 3:
      return [-1, 0, 0, -1, w, h];
    case 4:
      return [1, 0, 0, -1, 0, h];
    case 5:
      return [0, 1, 1, 0, 0, 0];
    case 6:
      return [0, 1, -1, 0, h, 0];
    case 7:
      return [0, -1, -1, 0, h, w];
    case 8:
      return [0, -1, 1, 0, 0, w];
    default:
      return [1, 0, 0, 1, 0, 0];
  }
}

/** Orientations 5 .. 8 swap width and height. */
export const isSideways = (orientation: number): boolean => orientation >= 5 && orientation <= 8;

/** Points x0 y0 x1 y1 .. in shares of a stored picture, in shares of the picture as it is shown. */
export function turnedShares(shares: readonly number[], orientation: number): number[] {
  const [a, b, c, d, e, f] = turnOf(orientation, 1, 1);
  return shares.map((value, i) => {
    const [x, y] = i % 2 === 0 ? [value, shares[i + 1]] : [shares[i - 1], value];
    return i % 2 === 0 ? a * x + c * y + e : b * x + d * y + f;
  });
}
