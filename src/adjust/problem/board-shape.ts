/**
 * Shape of a printed board that is not quite flat. The face is z = p^T K p / 2 over the tangent
 * plane at the centre, with a symmetric curvature matrix
 *
 *   K = [[m + d, e], [e, m - d]] / 2   (1/mm).
 *
 * A cylindrical bend of curvature k about an axis at angle a to the board's x axis has m = k,
 * d = -k cos 2a, e = -k sin 2a, so m^2 = d^2 + e^2. The three numbers are used rather than (k, a)
 * because a has no meaning for a flat board, where an adjustment starts. Priors: m with the stated
 * standard deviation, d and e with 1 / sqrt(2) of it: the second moments of a cylinder whose axis
 * may point anywhere. Paper bends without stretching, so a printed point moves along the geodesic
 * and its distance in the tangent plane shrinks: p' = p - K p (p^T K p) / 6, exact to third order.
 */
export interface Bend {
  readonly m: number;
  readonly d: number;
  readonly e: number;
}

/** Position of the printed point (x, y) mm on the bent board, board frame, written to `out` (3). */
export const bentPoint = (bend: Bend, x: number, y: number, out: Float64Array): void => {
  const kx = 0.5 * ((bend.m + bend.d) * x + bend.e * y);
  const ky = 0.5 * (bend.e * x + (bend.m - bend.d) * y);
  const z = 0.5 * (kx * x + ky * y);
  out[0] = x - (kx * z) / 3;
  out[1] = y - (ky * z) / 3;
  out[2] = z;
};

/**
 * Derivatives of bentPoint, written to `out` (15): by the logarithm of the board's size (3), by
 * its stretch (width grows, height shrinks by the same share; 3), then by m, d and e (3 each).
 */
export const bentPointDerivatives = (bend: Bend, x: number, y: number, out: Float64Array): void => {
  const kx = 0.5 * ((bend.m + bend.d) * x + bend.e * y);
  const ky = 0.5 * (bend.e * x + (bend.m - bend.d) * y);
  const z = 0.5 * (kx * x + ky * y);
  // Homogeneous of degree 1 and 3 in the plane, 2 in height.
  out[0] = x - kx * z;
  out[1] = y - ky * z;
  out[2] = 2 * z;
  const sx = 0.5 * ((bend.m + bend.d) * x - bend.e * y);
  const sy = 0.5 * (bend.e * x - (bend.m - bend.d) * y);
  const sz = x * kx - y * ky;
  out[3] = x - (sx * z + kx * sz) / 3;
  out[4] = -y - (sy * z + ky * sz) / 3;
  out[5] = sz;
  for (let i = 0; i < 3; i++) {
    // K by the number, times the point: m, d, e in turn.
    const dKx = 0.5 * (i === 2 ? y : x);
    const dKy = 0.5 * (i === 2 ? x : i === 1 ? -y : y);
    const dz = 0.5 * (dKx * x + dKy * y);
    out[6 + 3 * i] = -(dz * kx + z * dKx) / 3;
    out[7 + 3 * i] = -(dz * ky + z * dKy) / 3;
    out[8 + 3 * i] = dz;
  }
};

/** The cylinder nearest to a bend: signed curvature (1/mm) and the angle of its axis (rad). */
export const bendAsCylinder = (bend: Bend): { curvature: number; axis: number } => {
  const spread = Math.hypot(bend.d, bend.e);
  const sign = bend.m < 0 ? -1 : 1;
  const axis = 0.5 * Math.atan2(-sign * bend.e, -sign * bend.d);
  return { curvature: 0.5 * (bend.m + sign * spread), axis };
};
