/**
 * A published free-network bundle adjustment (github applied-geodesy/bundle-adjustment at a267093,
 * JAICOV/example; read from the folder, not copied): 115 photos, coded targets as points, one scale
 * bar, and the report of another program. Here the same observations, weights and datum go through
 * the adjustment's own normal equations, elimination and factorisation. Points take the place of
 * boards, so the statement "this point is seen here" is written in this file; lens, poses and solver
 * are the product's.
 *
 * Same model: the report's lens in millimetres with balanced radial terms about r0 is our Brown lens
 * with f = c s, k1 = A1 c^2 / s, k2 = A2 c^4 / s, p1 = -B2 c / s, p2 = B1 c / s, s = 1 - A1 r0^2 - A2 r0^4.
 * Affinity and shear (C1, C2) are constants of the report that our lens lacks: their effect, below
 * 0.001 mm, is taken off the observations at the approximate positions.
 */
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { type SmallFactor, smallFactor } from "../../src/adjust/factors/factor.ts";
import { type Layout, layOut } from "../../src/adjust/problem/layout.ts";
import { moveState, priorState, type State } from "../../src/adjust/problem/state.ts";
import { normalEquations } from "../../src/adjust/solve/normal-equations.ts";
import { type Lens, lensOrder } from "../../src/lens/lens.ts";
import { absoluteOrientation } from "../../src/maths/absolute-orientation.ts";
import { type Mat3, matVec, transform, type Vec3 } from "../../src/maths/pose.ts";
import { pointFactor } from "./points.ts";

export interface ReportPoint {
  readonly id: string;
  readonly xyz: Vec3;
  readonly sd: Vec3;
}

interface ImagePoint {
  readonly point: string;
  readonly photo: string;
  readonly x: number;
  readonly y: number;
  /** A priori standard deviations of x and y, mm. */
  readonly sd: readonly [number, number];
}

export interface BundleReport {
  readonly points: readonly ReportPoint[];
  readonly images: readonly ImagePoint[];
  /** Projection centre and omega, phi, kappa of each photo, mm and rad. */
  readonly photos: ReadonlyMap<string, readonly number[]>;
  readonly bar: {
    readonly from: string;
    readonly to: string;
    readonly mm: number;
    readonly sd: number;
  };
  readonly s0: number;
}

/** Standard deviation of unit weight before the adjustment, mm: that of nearly all image coordinates. */
const imageSd = 0.0005;
/** Lens of the .ior file, mm: start values, and the constants that the report did not estimate. */
const start = { c: 28.78507, xh: 0.01735, yh: 0.05669, a1: -1.09607e-4, a2: 1.49566e-7 };
const decentring = { b1: 5.79843e-6, b2: -8.64454e-6 };
const affinity = { c1: -7.00801e-5, c2: -3.12627e-5 };
const r0 = 13.488;

const section = (lines: readonly string[], name: string): string[][] => {
  const from = lines.findIndex((line) => line.includes(`*** ${name}`));
  const length = lines.slice(from + 1).findIndex((line) => line.includes("***"));
  return lines.slice(from + 1, from + 1 + length).map((line) => line.trim().split(/\s+/));
};

/** Reads the report and the files beside it; which image points were used is the report's word. */
export function readReport(folder: string): BundleReport {
  const text = readFileSync(join(folder, "example.htm"), "latin1").replace(/<[^>]*>/g, " ");
  const lines = text.split("\n");
  const points = section(lines, "Objektpunkte")
    .filter((f) => f.length === 9 && /^\d+$/.test(f[0]))
    .map((f) => ({
      id: f[0],
      xyz: f.slice(1, 4).map(Number) as unknown as Vec3,
      sd: f.slice(4, 7).map(Number) as unknown as Vec3,
    }));
  const used = new Map(
    section(lines, "Bildkoordinaten")
      .filter((f) => f.length === 12)
      .map((f) => [`${f[0]} ${f[1]}`, [Number(f[6]), Number(f[7])] as const]),
  );
  const rows = (name: string): string[][] =>
    readFileSync(join(folder, name), "latin1")
      .trim()
      .split("\n")
      .map((line) => line.trim().split(/\s+/));
  const images = rows("example.phc").flatMap(([photo, point, x, y]) => {
    const sd = used.get(`${point} ${photo}`);
    return sd ? [{ photo, point, x: Number(x), y: Number(y), sd }] : [];
  });
  const photos = new Map(rows("example.eor").map((f) => [f[0], f.slice(2, 8).map(Number)]));
  const [, , from, to, mm, sd] = rows("example.scale")[0];
  const s0 = Number(text.match(/S0:\s+([\d.]+)/)?.[1]);
  return { points, images, photos, bar: { from, to, mm: Number(mm), sd: Number(sd) }, s0 };
}

const startLens = (): Lens => {
  const { c, a1, a2, xh, yh } = start;
  const s = 1 - a1 * r0 ** 2 - a2 * r0 ** 4;
  return {
    ...{ fx: c * s, fy: c * s, cx: xh, cy: -yh, k1: (a1 * c ** 2) / s, k2: (a2 * c ** 4) / s },
    ...{ p1: (-decentring.b2 * c) / s, p2: (decentring.b1 * c) / s, k3: 0 },
  };
};

/** Camera (x right, y down, z ahead) from object space, by omega, phi, kappa about x, y, z. */
const rotation = ([, , , omega, phi, kappa]: readonly number[]): Mat3 => {
  const [co, so, cp, sp, ck, sk] = [omega, phi, kappa].flatMap((a) => [Math.cos(a), Math.sin(a)]);
  // Columns of Rx Ry Rz are the image axes; y and z change sign.
  return [
    ...[cp * ck, co * sk + so * sp * ck, so * sk - co * sp * ck],
    ...[cp * sk, -co * ck + so * sp * sk, -so * ck - co * sp * sk],
    ...[-sp, so * cp, -co * cp],
  ] as unknown as Mat3;
};

export interface ReportComparison {
  readonly s0: number;
  readonly points: number;
  readonly imagePoints: number;
  /** Largest difference of a coordinate, mm. */
  readonly worstMm: number;
  /** Largest relative difference of a standard deviation. */
  readonly worstSd: number;
  /** What the report's last printed digit leaves open in that standard deviation, relative. */
  readonly worstSdBeyondDigits: number;
  readonly iterations: number;
}

/** Deterministic disturbance of the start values, so that the answer has to be found. */
const disturb = (i: number): number => Math.sin(12.9898 * (i + 1)) * 2;

export function compareWithReport(report: BundleReport): ReportComparison {
  const { layout, factors, state: begin } = reportModel(report);
  const equations = normalEquations(layout, factors);
  let state = begin;
  let iterations = 0;
  let step = Number.POSITIVE_INFINITY;
  const constraints = innerConstraints(layout, report);
  while (step > 1e-7 && iterations < 30) {
    iterations++;
    equations.build(state);
    const solution = equations.factor(0, constraints);
    if (!solution.ok) throw new Error(`unknown ${solution.failedAt} is not determined`);
    const delta = equations.gradient.map((g) => -g);
    solution.solve(delta);
    state = moveState(layout, state, delta);
    step = Math.max(...layout.scalarBlock.map((b) => Math.abs(delta[b.offset])));
  }
  const cost = equations.build(state);
  const redundancy = 2 * report.images.length + 1 - (layout.size - 6);
  const variance = cost / redundancy;
  const solution = equations.factor(0, constraints);
  if (!solution.ok) throw new Error("not determined");
  const sds = pointSds(layout, solution.solve, constraints, variance);
  const found = ontoReport(layout, state, report);
  let [worstMm, worstSd, beyond] = [0, 0, 0];
  report.points.forEach(({ xyz, sd }, i) => {
    for (let k = 0; k < 3; k++) {
      worstMm = Math.max(worstMm, Math.abs(found[i][k] - xyz[k]));
      worstSd = Math.max(worstSd, Math.abs(sds[3 * i + k] / sd[k] - 1));
      // The report prints four decimals: half of the last one is no difference.
      const off = Math.max(0, Math.abs(sds[3 * i + k] - sd[k]) - 0.00005);
      beyond = Math.max(beyond, off / sd[k]);
    }
  });
  const count = { points: report.points.length, imagePoints: report.images.length };
  const s0 = Math.sqrt(variance) * imageSd;
  return { s0, ...count, worstMm, worstSd, worstSdBeyondDigits: beyond, iterations };
}

/** Unknowns: pose of each photo (eliminated), the lens, three coordinates of each point. */
function reportModel(report: BundleReport): {
  layout: Layout;
  factors: SmallFactor[];
  state: State;
} {
  const layout = layOut({
    cameras: [
      {
        key: "camera",
        lens: startLens(),
        priorCovariance: null,
        free: lensOrder.map((name) => name !== "k3"),
        fixedAspect: true,
        focalSd: 0,
        shiftSdPx: 0,
      },
    ],
    photos: [...report.photos.keys()].map((key) => ({ key, camera: "camera" })),
    ...{ boards: [], prints: [], observations: [], lengths: [], floor: [], frames: [], chains: [] },
    scalars: report.points.map(({ id, xyz }, i) => ({
      key: id,
      mean: xyz.map((v, k) => v + disturb(3 * i + k)),
      sd: [1, 1, 1].map(() => Number.POSITIVE_INFINITY),
      source: "other" as const,
    })),
  });
  const state = priorState(layout);
  [...report.photos.values()].forEach((orientation, i) => {
    const R = rotation(orientation);
    const centre = orientation.slice(0, 3).map((v, k) => v + disturb(7 * i + k)) as unknown as Vec3;
    const [x, y, z] = matVec(R, centre);
    state.photoPose[i] = { R, t: [-x, -y, -z] };
  });
  const factors = report.images.map((image) =>
    pointFactor(layout, { ...image, at: withoutAffinity(image) }),
  );
  return { layout, factors: [...factors, barFactor(layout, report)], state };
}

/** Image coordinates (y down) without affinity and shear, which are constants of the report. */
function withoutAffinity({ x, y }: ImagePoint): [number, number] {
  const [u, v] = [x - start.xh, y - start.yh];
  const radial = 1 + start.a1 * (u * u + v * v - r0 ** 2);
  const [ideal, across] = [u / radial, v / radial];
  return [x - affinity.c1 * ideal - affinity.c2 * across, -y];
}

function barFactor(layout: Layout, { bar, points }: BundleReport): SmallFactor {
  const ends = [bar.from, bar.to].map((id) => points.findIndex((p) => p.id === id));
  return smallFactor({
    label: "scale bar",
    source: "length reference",
    blocks: ends.map((i) => layout.blocks.indexOf(layout.scalarBlock[i])),
    width: 6,
    rows: 1,
    residuals(state, r, j) {
      const [a, b] = ends.map((i) => state.scalars[i]);
      const d = [0, 1, 2].map((k) => b[k] - a[k]);
      const length = Math.hypot(...d);
      r[0] = (length - bar.mm) / bar.sd;
      if (j) j.set([...d.map((v) => -v), ...d].map((v) => v / length / bar.sd));
    },
  });
}

/**
 * Inner constraints over the points (minimum trace of their covariance): no shift and no turn of all
 * points together; turns about their centre, per metre.
 */
function innerConstraints(layout: Layout, { points }: BundleReport): Float64Array[] {
  const centre = [0, 1, 2].map((k) => points.reduce((s, { xyz }) => s + xyz[k], 0) / points.length);
  const constraints = Array.from({ length: 6 }, () => new Float64Array(layout.size));
  layout.scalarBlock.forEach(({ offset }, i) => {
    const [x, y, z] = points[i].xyz.map((v, k) => (v - centre[k]) / 1000);
    for (let k = 0; k < 3; k++) constraints[k][offset + k] = 1;
    constraints[3].set([0, -z, y], offset);
    constraints[4].set([z, 0, -x], offset);
    constraints[5].set([-y, x, 0], offset);
  });
  return constraints;
}

/**
 * Standard deviations of the points under the inner constraints. The equations hold N + sum s_k^2 c_k
 * c_k^T with scales s_k of their own choice; y_k = (N + ...)^-1 c_k is a free motion, c_k^T y_k = 1 /
 * s_k^2, and the covariance is (N + ...)^-1 - sum y_k y_k^T / (c_k^T y_k) (after Koch, Parameter
 * Estimation and Hypothesis Testing, 3.5).
 */
function pointSds(
  layout: Layout,
  solve: (b: Float64Array) => void,
  constraints: readonly Float64Array[],
  variance: number,
): Float64Array {
  const motions = constraints.map((c) => {
    const y = c.slice();
    solve(y);
    return { y, size: c.reduce((sum, v, i) => sum + v * y[i], 0) };
  });
  const out = new Float64Array(3 * layout.scalarBlock.length);
  layout.scalarBlock.forEach(({ offset }, i) => {
    for (let k = 0; k < 3; k++) {
      const column = new Float64Array(layout.size);
      column[offset + k] = 1;
      solve(column);
      const taken = motions.reduce((sum, { y, size }) => sum + y[offset + k] ** 2 / size, 0);
      out[3 * i + k] = Math.sqrt((column[offset + k] - taken) * variance);
    }
  });
  return out;
}

/**
 * The points in the report's datum. The report fixed the free network by the same constraints about
 * other start values, so the two differ by a rigid motion, which is taken off over all points.
 */
function ontoReport(layout: Layout, state: State, { points }: BundleReport): Vec3[] {
  const own = layout.scalarBlock.map((_, i) => [...state.scalars[i]] as unknown as Vec3);
  const published = points.map(({ xyz }) => xyz);
  const onto = absoluteOrientation(own, published);
  return own.map((x) => transform(onto, x));
}
