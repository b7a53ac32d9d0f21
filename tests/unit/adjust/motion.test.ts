import { describe, expect, test } from "vitest";
import { type Adjusted, adjust } from "../../../src/adjust/adjust.ts";
import { motionSize } from "../../../src/adjust/problem/motion.ts";
import type { BoardObservation, NetworkProblem } from "../../../src/adjust/problem/problem.ts";
import { usualMotion } from "../../../src/adjust/spreads/motion-spread.ts";
import { settleSpreads } from "../../../src/adjust/spreads/settle.ts";
import { fitHomography } from "../../../src/maths/homography.ts";
import { norm, radians, sub } from "../../../src/maths/pose.ts";
import { type Bay, type HandOptions, makeBay, prune } from "./bay.ts";

const steady: HandOptions = { turnSd: radians(0.012), shiftSdMm: 0.1 };
const trembling: HandOptions = { ...steady, tremor: { amplitude: radians(0.007), cycles: 0.2 } };
const still: HandOptions = { turnSd: 0, shiftSdMm: 0 };

const bayWith = (
  seed: number,
  motion: HandOptions,
  more: Partial<Parameters<typeof makeBay>[0]> = {},
) =>
  prune(
    makeBay({
      seed,
      photos: 14,
      boards: 12,
      grid: 4,
      sigmaPx: 0.03,
      floor: true,
      lengths: 1,
      lengthSdMm: 0.2,
      focalSd: 0.0005,
      motion,
      motionPrior: usualMotion,
      ...more,
    }),
  );

const solved = (problem: NetworkProblem): Adjusted => {
  const out = adjust(problem);
  if (!out.ok) throw new Error(out.remarks.map((r) => r.message).join(" "));
  return out;
};

const settled = (problem: NetworkProblem) => {
  const out = settleSpreads(problem, solved(problem));
  if (!out.ok) throw new Error(out.remarks.map((r) => r.message).join(" "));
  return out;
};

/** Distances of all boards from the first, against the truth. */
const distances = ({ problem, truth }: Bay, adjusted: Adjusted) => {
  const [first, ...others] = problem.boards.map(({ key }) => key);
  const { values, covariance } = adjusted.propagate(
    others.map((key) => ({
      key,
      evaluate: (s) => norm(sub(s.pose(key).t, s.pose(first).t)),
    })),
  );
  return others.map((key, i) => ({
    error: values[i] - norm(sub(truth.board.get(key)!.t, truth.board.get(first)!.t)),
    sd: Math.sqrt(covariance[i * (others.length + 1)]),
  }));
};

const rms = (values: readonly number[]): number =>
  Math.sqrt(values.reduce((sum, v) => sum + v * v, 0) / values.length);

const withoutMotion = (problem: NetworkProblem): NetworkProblem => ({
  ...problem,
  photos: problem.photos.map(({ key, camera }) => ({ key, camera })),
});

const seeds = [1, 2, 3];

describe("motion during the read-out", () => {
  test("without noise the hand's turn comes back", () => {
    const bay = bayWith(3, steady, { noise: false, sigmaPx: 1e-3 });
    const { state } = solved(bay.problem).internals;
    const errors = bay.problem.photos.flatMap(({ key }, i) => {
      const { turn } = bay.truth.motion.get(key)!;
      return turn.map((w, k) => state.photoMotion[motionSize * i + k] - w);
    });
    expect(errors.length).toBeGreaterThan(25);
    expect(rms(errors)).toBeLessThan(0.1 * steady.turnSd);
  });

  test("steady and trembling hands: errors as stated, and smaller than without the motion", () => {
    for (const hand of [steady, trembling]) {
      const bays = seeds.map((seed) => bayWith(seed, hand));
      const known = bays.flatMap((bay) => distances(bay, settled(bay.problem).adjusted));
      const scores = known.map(({ error, sd }) => error / sd);
      expect(known.length).toBeGreaterThan(25);
      expect(rms(scores)).toBeGreaterThan(0.5);
      expect(rms(scores)).toBeLessThan(1.35);
      const ignored = bays.flatMap((bay) =>
        distances(bay, settled(withoutMotion(bay.problem)).adjusted),
      );
      expect(rms(ignored.map(({ error }) => error))).toBeGreaterThan(
        1.3 * rms(known.map(({ error }) => error)),
      );
    }
  });

  describe("on a tripod", () => {
    const bays = seeds.map((seed) => bayWith(seed, still));
    const results = bays.map((bay) => ({ bay, ...settled(bay.problem) }));
    const sds = (of: (bay: Bay) => Adjusted) =>
      bays.flatMap((bay) => distances(bay, of(bay)).map(({ sd }) => sd));
    const moving = rms(sds((bay) => results.find((r) => r.bay === bay)!.adjusted));
    const rigid = rms(sds((bay) => solved(withoutMotion(bay.problem))));

    test("the motion goes to nothing", () => {
      for (const { spreads } of results) {
        expect(spreads.motion!.turnSd).toBeLessThan(0.4 * usualMotion.turnSd);
        expect(spreads.motion!.swaySd).toBeLessThan(0.8 * usualMotion.swaySd);
      }
    });

    test("and costs less than a tenth of the uncertainty", () => {
      expect(moving).toBeLessThan(1.1 * rigid);
    });
  });

  test("the hand's spread is found from any start", () => {
    const bay = bayWith(5, { turnSd: radians(0.05), shiftSdMm: 0.2 }, { photos: 20 });
    const { spreads } = settled(bay.problem);
    expect(spreads.motion!.turnSd).toBeGreaterThan(radians(0.035));
    expect(spreads.motion!.turnSd).toBeLessThan(radians(0.07));
  });

  test("pixels stored turned are read along x", () => {
    const bay = bayWith(6, { ...steady, turnSd: radians(0.03), along: "columns" });
    const wrong: NetworkProblem = {
      ...bay.problem,
      photos: bay.problem.photos.map((photo) => ({
        ...photo,
        readout: { along: "rows" as const, length: 3024 },
      })),
    };
    const cost = (problem: NetworkProblem): number => {
      const { sigma0Squared, redundancy } = solved(problem);
      return sigma0Squared * redundancy;
    };
    expect(cost(wrong)).toBeGreaterThan(cost(bay.problem) + 50);
  });
});

/**
 * A print fit measures a board as a homography: eight numbers, passed on as 16 points of rank eight.
 * Here boards fill a third of the frame, and their homography is fitted to a dense set of points,
 * each at its own row. If what the homography takes up of the motion were not what the adjustment
 * predicts for its 16 points, the errors below would show it.
 */
describe("boards that are passed on as homographies", () => {
  const dense = 9;
  const sigma = 0.05;

  const asHomography = (seen: BoardObservation): BoardObservation | null => {
    const h = fitHomography(seen.boardPoints, seen.pixels);
    if (!h) return null;
    const places = [-6, -2, 2, 6];
    const boardPoints = Float64Array.from(places.flatMap((y) => places.flatMap((x) => [x, y])));
    const at = (m: ArrayLike<number>, x: number, y: number): [number, number] => {
      const w = m[6] * x + m[7] * y + m[8];
      return [(m[0] * x + m[1] * y + m[2]) / w, (m[3] * x + m[4] * y + m[5]) / w];
    };
    const pixels = new Float64Array(boardPoints.length);
    for (let i = 0; i < pixels.length; i += 2)
      pixels.set(at(h, boardPoints[i], boardPoints[i + 1]), i);
    const sqrtInformation = homographyInformation(h, at, seen.boardPoints, boardPoints);
    return {
      ...seen,
      boardPoints,
      pixels,
      noise: { kind: "full", rows: 8, sqrtInformation },
    };
  };

  /** W = L^T A^+ with A the points' and N = L L^T the dense points' derivatives by the numbers. */
  const homographyInformation = (
    h: ArrayLike<number>,
    at: (m: ArrayLike<number>, x: number, y: number) => [number, number],
    fitted: Float64Array,
    passedOn: Float64Array,
  ): Float64Array => {
    const step = [1e-4, 1e-4, 1e-3, 1e-4, 1e-4, 1e-3, 1e-7, 1e-7].map(
      (s) => s * Math.max(1, Math.abs(h[8])),
    );
    const derivatives = (points: Float64Array): number[][] =>
      Array.from({ length: points.length / 2 }, (_, i) => i).flatMap((i) => {
        const rows: number[][] = [[], []];
        for (let k = 0; k < 8; k++) {
          const [ahead, back] = [Float64Array.from(h), Float64Array.from(h)];
          ahead[k] += step[k];
          back[k] -= step[k];
          const a = at(ahead, points[2 * i], points[2 * i + 1]);
          const b = at(back, points[2 * i], points[2 * i + 1]);
          rows[0].push((a[0] - b[0]) / (2 * step[k]));
          rows[1].push((a[1] - b[1]) / (2 * step[k]));
        }
        return rows;
      });
    // Orthonormal columns Q of the dense derivatives: numbers p = R h with unit weights / sigma.
    const whole = derivatives(fitted);
    const r = triangular(whole);
    const q = derivatives(passedOn).map((row) => solveRight(row, r));
    // Least squares from the 32 coordinates to the 8 numbers, in units of sigma.
    const gram = Array.from({ length: 8 }, (_, a) =>
      Array.from({ length: 8 }, (_, b) => q.reduce((s, row) => s + row[a] * row[b], 0)),
    );
    const inverse = invert(gram);
    const out = new Float64Array(8 * q.length);
    for (let a = 0; a < 8; a++)
      q.forEach((row, i) => {
        for (let b = 0; b < 8; b++) out[a * q.length + i] += (inverse[a][b] * row[b]) / sigma;
      });
    return out;
  };

  /** Upper triangle of a QR decomposition (Gram-Schmidt). */
  const triangular = (rows: readonly number[][]): number[][] => {
    const columns = Array.from({ length: 8 }, (_, k) => rows.map((row) => row[k]));
    const r = Array.from({ length: 8 }, () => new Array<number>(8).fill(0));
    columns.forEach((column, k) => {
      for (let j = 0; j < k; j++) {
        r[j][k] = column.reduce((s, v, i) => s + v * columns[j][i], 0);
        column.forEach((_, i) => {
          column[i] -= r[j][k] * columns[j][i];
        });
      }
      r[k][k] = Math.hypot(...column);
      column.forEach((v, i) => {
        column[i] = v / r[k][k];
      });
    });
    return r;
  };

  /** x with x R = row. */
  const solveRight = (row: readonly number[], r: readonly number[][]): number[] => {
    const x = new Array<number>(8).fill(0);
    for (let k = 0; k < 8; k++) {
      let sum = row[k];
      for (let j = 0; j < k; j++) sum -= x[j] * r[j][k];
      x[k] = sum / r[k][k];
    }
    return x;
  };

  const invert = (m: readonly number[][]): number[][] => {
    const a = m.map((row, i) => [...row, ...row.map((_, k) => (i === k ? 1 : 0))]);
    for (let k = 0; k < 8; k++) {
      let pivot = k;
      for (let i = k; i < 8; i++) if (Math.abs(a[i][k]) > Math.abs(a[pivot][k])) pivot = i;
      [a[k], a[pivot]] = [a[pivot], a[k]];
      const f = a[k][k];
      a[k] = a[k].map((v) => v / f);
      for (let i = 0; i < 8; i++)
        if (i !== k) {
          const g = a[i][k];
          a[i] = a[i].map((v, c) => v - g * a[k][c]);
        }
    }
    return a.map((row) => row.slice(8));
  };

  test("large boards: places and stated spread hold with a fast hand", () => {
    const scores: number[] = [];
    for (const seed of [1, 2, 4]) {
      const bay = bayWith(
        seed,
        { turnSd: radians(0.03), shiftSdMm: 0.3 },
        { grid: dense, sigmaPx: sigma, photos: 10, boards: 10, cellMm: 36 },
      );
      const observations = bay.problem.observations.flatMap((o) => asHomography(o) ?? []);
      expect(observations.length).toBe(bay.problem.observations.length);
      const { adjusted } = settled({ ...bay.problem, observations });
      scores.push(...distances(bay, adjusted).map(({ error, sd }) => error / sd));
    }
    expect(scores.length).toBeGreaterThan(20);
    expect(rms(scores)).toBeGreaterThan(0.5);
    expect(rms(scores)).toBeLessThan(1.35);
  });
});
