import type {
  Propagated,
  Quantity,
  Source,
  StateView,
} from "../../../src/adjust/problem/problem.ts";
import { type Pose, retract } from "../../../src/maths/pose.ts";

/**
 * A solved network without photos: poses and scalars with independent standard deviations, and
 * linear propagation by central differences. Stands in for the adjustment in unit tests.
 */
export interface FakeUnknowns {
  readonly poses: Record<string, Pose>;
  readonly scalars: Record<string, number[]>;
  /** Per pose: turn sd (rad) and shift sd (mm). */
  readonly poseSd?: Record<string, readonly [number, number]>;
  readonly scalarSd?: Record<string, readonly number[]>;
  readonly sources?: Record<string, Source>;
}

interface Parameter {
  readonly sd: number;
  readonly source: Source;
  moved(by: number): FakeUnknowns;
}

export const fakeView = (unknowns: FakeUnknowns): StateView => ({
  pose: (key) => {
    const pose = unknowns.poses[key];
    if (!pose) throw new Error(`No pose ${key}.`);
    return pose;
  },
  photoPose: (key) => {
    throw new Error(`No photo ${key}.`);
  },
  scalars: (key) => {
    const values = unknowns.scalars[key];
    if (!values) throw new Error(`No scalars ${key}.`);
    return Float64Array.from(values);
  },
  cellMm: () => 13,
  cellSides: () => ({ width: 13, height: 13 }),
  bulgeMm: () => 0,
  lens: (key) => {
    throw new Error(`No camera ${key}.`);
  },
});

const parametersOf = (u: FakeUnknowns): Parameter[] => [
  ...Object.entries(u.poses).flatMap(([key, pose]) =>
    [0, 1, 2, 3, 4, 5].map((k) => ({
      sd: (u.poseSd?.[key] ?? [0, 0])[k < 3 ? 0 : 1],
      source: u.sources?.[key] ?? ("image" as const),
      moved: (by: number) => ({
        ...u,
        poses: {
          ...u.poses,
          [key]: retract(
            pose,
            [0, 1, 2, 3, 4, 5].map((i) => (i === k ? by : 0)),
          ),
        },
      }),
    })),
  ),
  ...Object.entries(u.scalars).flatMap(([key, values]) =>
    values.map((_, k) => ({
      sd: u.scalarSd?.[key]?.[k] ?? 0,
      source: u.sources?.[key] ?? ("other" as const),
      moved: (by: number) => ({
        ...u,
        scalars: { ...u.scalars, [key]: values.map((v, i) => (i === k ? v + by : v)) },
      }),
    })),
  ),
];

export const fakeSolution = (unknowns: FakeUnknowns) => {
  const parameters = parametersOf(unknowns).filter((p) => p.sd > 0);
  return {
    state: fakeView(unknowns),
    propagate: (quantities: readonly Quantity[]): Propagated => {
      const m = quantities.length;
      const covariance = new Float64Array(m * m);
      const budget: Partial<Record<Source, number>>[] = quantities.map(() => ({}));
      for (const p of parameters) {
        const h = Math.max(1e-7, p.sd * 1e-2);
        const [up, down] = [fakeView(p.moved(h)), fakeView(p.moved(-h))];
        const row = quantities.map((q) => ((q.evaluate(up) - q.evaluate(down)) / (2 * h)) * p.sd);
        for (let i = 0; i < m; i++) {
          budget[i][p.source] = (budget[i][p.source] ?? 0) + row[i] ** 2;
          for (let j = 0; j < m; j++) covariance[i * m + j] += row[i] * row[j];
        }
      }
      return {
        keys: quantities.map((q) => q.key),
        values: Float64Array.from(quantities, (q) => q.evaluate(fakeView(unknowns))),
        covariance,
        budget,
      };
    },
  };
};
