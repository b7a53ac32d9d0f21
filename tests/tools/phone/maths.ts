/**
 * Chance and rigid motions for the phone simulator. Written out here on purpose: nothing of the
 * product's own maths is used, so that a shared error cannot cancel. Rotations are unit quaternions.
 * Lengths mm, angles rad, times s.
 */

export type V3 = readonly [number, number, number];
/** Unit quaternion w x y z. */
export type Quat = readonly [number, number, number, number];

/** x_a = rotate(q, x_b) + p, where the pose is called `aFromB`. */
export interface Rigid {
  readonly q: Quat;
  readonly p: V3;
}

/** Repeatable chance (sfc32, public domain, Chris Doty-Humphrey's PractRand). */
export class Chance {
  private readonly s = new Uint32Array(4);
  private spare = Number.NaN;

  constructor(seed: number, stream = 0) {
    this.s.set([seed >>> 0, stream >>> 0, 0x9e3779b9, 1]);
    for (let i = 0; i < 16; i++) this.next();
  }

  private next(): number {
    const s = this.s;
    const t = (s[0] + s[1] + s[3]) >>> 0;
    s[3] += 1;
    s[0] = s[1] ^ (s[1] >>> 9);
    s[1] = s[2] + (s[2] << 3);
    s[2] = ((s[2] << 21) | (s[2] >>> 11)) + t;
    return t;
  }

  /** Even in [low, high). */
  even(low = 0, high = 1): number {
    return low + ((high - low) * (this.next() + 0.5)) / 4294967296;
  }

  /** Normal deviate (Marsaglia's polar method). */
  normal(sd = 1): number {
    if (!Number.isNaN(this.spare)) {
      const kept = this.spare;
      this.spare = Number.NaN;
      return sd * kept;
    }
    for (;;) {
      const a = this.even(-1, 1);
      const b = this.even(-1, 1);
      const r = a * a + b * b;
      if (r >= 1 || r === 0) continue;
      const m = Math.sqrt((-2 * Math.log(r)) / r);
      this.spare = b * m;
      return sd * a * m;
    }
  }

  whole(low: number, high: number): number {
    return Math.floor(this.even(low, high + 1));
  }

  pick<T>(of: readonly T[]): T {
    return of[this.whole(0, of.length - 1)];
  }
}

export const plus = (a: V3, b: V3): V3 => [a[0] + b[0], a[1] + b[1], a[2] + b[2]];
export const minus = (a: V3, b: V3): V3 => [a[0] - b[0], a[1] - b[1], a[2] - b[2]];
export const times = (a: V3, s: number): V3 => [a[0] * s, a[1] * s, a[2] * s];
export const inner = (a: V3, b: V3): number => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
export const outer = (a: V3, b: V3): V3 => [
  a[1] * b[2] - a[2] * b[1],
  a[2] * b[0] - a[0] * b[2],
  a[0] * b[1] - a[1] * b[0],
];
export const size = (a: V3): number => Math.sqrt(inner(a, a));
export const direction = (a: V3): V3 => times(a, 1 / size(a));

/** Hamilton product: turns by b first, then by a. */
export const after = (a: Quat, b: Quat): Quat => [
  a[0] * b[0] - a[1] * b[1] - a[2] * b[2] - a[3] * b[3],
  a[0] * b[1] + a[1] * b[0] + a[2] * b[3] - a[3] * b[2],
  a[0] * b[2] - a[1] * b[3] + a[2] * b[0] + a[3] * b[1],
  a[0] * b[3] + a[1] * b[2] - a[2] * b[1] + a[3] * b[0],
];

export const opposite = (q: Quat): Quat => [q[0], -q[1], -q[2], -q[3]];

/** v + 2 w (u x v) + 2 u x (u x v), with u the quaternion's vector part. */
export const rotate = (q: Quat, v: V3): V3 => {
  const u: V3 = [q[1], q[2], q[3]];
  const c = outer(u, v);
  return plus(v, plus(times(c, 2 * q[0]), times(outer(u, c), 2)));
};

/** Turn by the length of `w` about its direction. */
export const turn = (w: V3): Quat => {
  const angle = size(w);
  if (angle === 0) return [1, 0, 0, 0];
  const s = Math.sin(angle / 2) / angle;
  return [Math.cos(angle / 2), w[0] * s, w[1] * s, w[2] * s];
};

/** Rotation whose columns are the three orthogonal unit vectors x, y and x x y. */
export const fromAxes = (x: V3, y: V3): Quat => {
  const z = outer(x, y);
  // The eigenvector of the largest eigenvalue, read from the best conditioned of four rows.
  const t = [
    1 + x[0] + y[1] + z[2],
    1 + x[0] - y[1] - z[2],
    1 - x[0] + y[1] - z[2],
    1 - x[0] - y[1] + z[2],
  ];
  const best = t.indexOf(Math.max(...t));
  const rows: Quat[] = [
    [t[0], y[2] - z[1], z[0] - x[2], x[1] - y[0]],
    [y[2] - z[1], t[1], y[0] + x[1], z[0] + x[2]],
    [z[0] - x[2], y[0] + x[1], t[2], z[1] + y[2]],
    [x[1] - y[0], z[0] + x[2], z[1] + y[2], t[3]],
  ];
  const q = rows[best];
  const n = Math.hypot(...q);
  return [q[0] / n, q[1] / n, q[2] / n, q[3] / n];
};

export const apply = (aFromB: Rigid, x: V3): V3 => plus(rotate(aFromB.q, x), aFromB.p);
export const chain = (aFromB: Rigid, bFromC: Rigid): Rigid => ({
  q: after(aFromB.q, bFromC.q),
  p: apply(aFromB, bFromC.p),
});
export const inverse = (aFromB: Rigid): Rigid => {
  const q = opposite(aFromB.q);
  return { q, p: times(rotate(q, aFromB.p), -1) };
};

/** Axis k (0, 1, 2) of the moving frame, seen in the fixed one. */
export const axisOf = (q: Quat, k: 0 | 1 | 2): V3 =>
  rotate(q, [k === 0 ? 1 : 0, k === 1 ? 1 : 0, k === 2 ? 1 : 0]);

export const rad = (deg: number): number => (deg * Math.PI) / 180;
export const deg = (radians: number): number => (radians * 180) / Math.PI;
