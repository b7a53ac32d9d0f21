/** Published worked examples through the product's own adjustment, tests and propagation. */
import { describe, expect, test } from "vitest";
import { type Adjusted, adjust } from "../../../src/adjust/adjust.ts";
import type {
  ChainStatement,
  NetworkProblem,
  Quantity,
} from "../../../src/adjust/problem/problem.ts";
import { delta0, elementTests } from "../../../src/adjust/test/element-tests.ts";
import { cholesky } from "../../../src/maths/dense.ts";
import {
  compose,
  degrees,
  identity3,
  invert,
  logRotation,
  norm,
  type Vec3,
} from "../../../src/maths/pose.ts";
import { makeBay, prune } from "./bay.ts";

/** The adjustment wants at least one photo; this bay stands beside the example, tied to nothing. */
const bystander = prune(makeBay({ seed: 2, photos: 4, boards: 6 })).problem;

const solved = (parts: Partial<NetworkProblem>): Adjusted => {
  const outcome = adjust({ ...bystander, ...parts });
  if (!outcome.ok) throw new Error(outcome.remarks.map((r) => r.message).join(" "));
  return outcome;
};

const free = Number.POSITIVE_INFINITY;

describe("GUM H.2: resistance and reactance from simultaneous readings (JCGM 100:2008)", () => {
  // Five sets of readings (table H.2): V, A, rad.
  const readings = [
    [5.007, 4.994, 5.005, 4.99, 4.999],
    [19.663e-3, 19.639e-3, 19.64e-3, 19.685e-3, 19.678e-3],
    [1.0456, 1.0438, 1.0468, 1.0428, 1.0433],
  ];
  const mean = readings.map((v) => v.reduce((s, x) => s + x, 0) / 5);
  const covariance = Float64Array.from({ length: 9 }, (_, i) => {
    const [a, b] = [Math.floor(i / 3), i % 3];
    return (
      readings[a].reduce(
        (s, _v, k) => s + (readings[a][k] - mean[a]) * (readings[b][k] - mean[b]),
        0,
      ) / 20
    );
  });
  const l = covariance.slice();
  cholesky(l, 3);
  // Three independent unit scalars; the correlated inputs are mean + L z.
  const out = solved({ scalars: [{ key: "z", mean: [0, 0, 0], sd: [1, 1, 1], source: "other" }] });
  const input = (z: ArrayLike<number>) =>
    mean.map((m, a) => m + [0, 1, 2].slice(0, a + 1).reduce((s, b) => s + l[a * 3 + b] * z[b], 0));
  const quantity = (key: string, f: (v: number[]) => number): Quantity => ({
    key,
    evaluate: (s) => f(input(s.scalars("z"))),
  });
  const {
    values,
    covariance: c,
    budget,
  } = out.propagate([
    quantity("R", ([v, i, phi]) => (v / i) * Math.cos(phi)),
    quantity("X", ([v, i, phi]) => (v / i) * Math.sin(phi)),
    quantity("Z", ([v, i]) => v / i),
  ]);
  test("values, uncertainties and correlations", () => {
    const u = [0, 1, 2].map((i) => Math.sqrt(c[i * 4]));
    const expected = [
      [values[0], 127.73217, 1e-5],
      [values[1], 219.84651, 1e-5],
      [values[2], 254.2597, 1e-5],
      // Published to two digits: 0.071, 0.295, 0.236; more digits by own arithmetic.
      [u[0], 0.07107, 1e-5],
      [u[1], 0.29558, 1e-5],
      [u[2], 0.23634, 1e-5],
      [c[1] / (u[0] * u[1]), -0.58843, 1e-5],
      [c[2] / (u[0] * u[2]), -0.48526, 1e-5],
      [c[5] / (u[1] * u[2]), 0.99251, 1e-5],
    ];
    for (const [found, value, tolerance] of expected)
      expect(Math.abs(found - value)).toBeLessThan(tolerance);
    expect(Math.abs(budget[0].other! / c[0] - 1)).toBeLessThan(1e-6);
  });
});

describe("levelling net (OSGeo tutorial level_net; weights sigma = 0.7 mm per km)", () => {
  // from, to, height difference (m), length (km); point 4 is fixed at 101.345 m.
  const lines: readonly [number, number, number, number][] = [
    [1, 2, -0.749, 1.1],
    [1, 3, -1.274, 1.8],
    [1, 4, -2.89, 1.4],
    [2, 3, -0.53, 1.5],
    [2, 4, -2.141, 1.9],
    [3, 4, -1.614, 0.9],
  ];
  const start = [104.2, 103.5, 103, 101.345];
  const chains = lines.map(
    ([from, to, dh, km]): ChainStatement => ({
      key: `${from}-${to}`,
      links: [
        { kind: "small", key: `point ${from}`, inverse: true },
        { kind: "small", key: `point ${to}` },
        { kind: "fixed", pose: { R: identity3, t: [0, 0, -1000 * dh] } },
      ],
      sd: [free, free, free, free, free, 0.7 * km],
      source: "other",
    }),
  );
  const out = solved({
    scalars: start.map((h, i) => ({
      key: `point ${i + 1}`,
      mean: [0, 0, 0, 0, 0, 1000 * h],
      sd: [0, 0, 0, 0, 0, i === 3 ? 0 : free],
      source: "other",
    })),
    chains,
  });
  const heights = out.propagate(
    [1, 2, 3].map((i) => ({ key: `${i}`, evaluate: (s) => s.scalars(`point ${i}`)[5] })),
  );

  test("adjusted heights", () => {
    // Printed to 0.1 mm in the tutorial, further digits by own arithmetic.
    [104234.997, 103486.808, 102958.82].forEach((h, i) => {
      expect(Math.abs(heights.values[i] - h)).toBeLessThan(1e-3);
    });
  });
  test("standard deviations times the printed m0 = 1.65", () => {
    [1.13, 1.19, 0.91].forEach((sd, i) => {
      expect(Math.abs(1.655 * Math.sqrt(heights.covariance[i * 4]) - sd)).toBeLessThan(0.01);
    });
  });
  test("redundancy numbers, standardised residuals and minimal detectable biases", () => {
    const tests = elementTests(out.internals);
    const expected: readonly [number, number, number][] = [
      [0.314, 1.88, 5.678],
      [0.6865, 2.085, 6.284],
      [0.5112, 0.004, 5.664],
      [0.5466, 2.592, 5.869],
      [0.7073, 0.722, 6.534],
      [0.2344, 0.59, 5.377],
    ];
    lines.forEach(([from, to, , km], i) => {
      const found = tests.find((t) => t.label === `${from}-${to}`)!;
      const [r, w, mdb] = expected[i];
      expect(Math.abs(found.redundancy - r)).toBeLessThan(1e-4);
      expect(Math.abs(found.statistic - w)).toBeLessThan(1e-3);
      expect(Math.abs(found.mdb.sds! * 0.7 * km - mdb)).toBeLessThan(1e-3);
    });
    // Baarda 1968: non-centrality for 0.1 % and 80 %.
    expect(Math.abs(delta0 ** 2 - 17.074646805189243)).toBeLessThan(1e-9);
  });
});

describe("absolute orientation, six points (Dewitt's 3DCONF example data)", () => {
  const from: readonly Vec3[] = [
    [390.35, 499.63, 469.43],
    [371.68, 630.84, 81.25],
    [425.65, 419.07, 82.49],
    [410.5, 438.31, 81.13],
    [448.22, 295.83, 97.79],
    [414.6, 709.39, 101.77],
  ];
  const to: readonly Vec3[] = [
    [607.54, 501.63, 469.09],
    [589.98, 632.36, 82.81],
    [643.65, 421.28, 83.5],
    [628.58, 440.51, 82.27],
    [666.27, 298.16, 98.29],
    [632.59, 710.62, 103.01],
  ];
  const out = solved({
    frames: [{ key: "model" }],
    chains: from.map((p, i) => ({
      key: `point ${i}`,
      links: [
        { kind: "fixed", pose: { R: identity3, t: [-to[i][0], -to[i][1], -to[i][2]] } },
        { kind: "pose", key: "0", inverse: true },
        { kind: "pose", key: "model" },
        { kind: "fixed", pose: { R: identity3, t: p } },
      ],
      sd: [free, free, free, 1, 1, 1],
      source: "other",
    })),
  });
  test("rigid solution: shift, turn and sum of squares (re-fit of the published data)", () => {
    // "To" coordinates are those of the bystander's board 0, so that nothing depends on the bay.
    const { R, t } = compose(invert(out.state.pose("0")), out.state.pose("model"));
    [218.2844, 2.0612, -0.5611].forEach((v, k) => {
      expect(Math.abs(t[k] - v)).toBeLessThan(1e-3);
    });
    expect(Math.abs(degrees(norm(logRotation(R))) - 0.142406)).toBeLessThan(1e-5);
    const statements = out.internals.model.statements.filter((s) => s.label.startsWith("point "));
    expect(statements.length).toBe(6);
    const sum = statements.reduce((s, f) => s + f.cost(out.internals.state), 0);
    expect(Math.abs(sum - 3.200059)).toBeLessThan(1e-5);
  });
});
