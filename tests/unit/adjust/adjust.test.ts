import { describe, expect, test } from "vitest";
import { type Adjusted, adjust } from "../../../src/adjust/adjust.ts";
import type { NetworkProblem, Quantity } from "../../../src/adjust/problem/problem.ts";
import {
  compose,
  invert,
  logRotation,
  matMul,
  norm,
  type Pose,
  sub,
  transpose,
} from "../../../src/maths/pose.ts";
import { type Bay, makeBay, prune, trueRelative } from "./bay.ts";

const solved = (problem: NetworkProblem, options = {}): Adjusted => {
  const outcome = adjust(problem, options);
  if (!outcome.ok) throw new Error(outcome.remarks.map((r) => r.message).join(" "));
  return outcome;
};

const distance = (a: string, b: string): Quantity => ({
  key: `${a} to ${b}`,
  evaluate: (s) => norm(sub(s.pose(a).t, s.pose(b).t)),
});

const relative = (out: Adjusted, a: string, b: string): Pose =>
  compose(invert(out.state.pose(a)), out.state.pose(b));

const turnBetween = (a: Pose, b: Pose): number => norm(logRotation(matMul(transpose(a.R), b.R)));

const randomBay = (seed: number): Bay =>
  prune(
    makeBay({
      seed,
      photos: 5 + (seed % 36),
      boards: 6 + (seed % 12),
      grid: 3,
      floor: seed % 2 === 0,
      lengths: seed % 3,
      printSd: seed % 3 ? 0.001 : 0,
      cellSd: seed % 4 ? 0.0005 : 0,
      bendSd: seed % 5 ? 0 : 2e-5,
    }),
  );

describe("right minimum", () => {
  // A wrong minimum is far off; 4 standard deviations, and the spread of all, tell a wrong scale, too.
  test("70 random bays with 5 to 40 photos", () => {
    let checked = 0;
    let squares = 0;
    for (let seed = 1001; seed <= 1070; seed++) {
      const bay = randomBay(seed);
      if (bay.problem.photos.length < 3) continue;
      const out = solved(bay.problem);
      const [first, ...others] = bay.problem.boards.map((b) => b.key);
      const { values, covariance } = out.propagate(others.map((b) => distance(first, b)));
      others.forEach((b, i) => {
        const truth = trueRelative(bay, first, b);
        const sd = Math.sqrt(covariance[i * others.length + i]);
        const off = (values[i] - norm(truth.t)) / sd;
        expect(Math.abs(off), `bay ${seed}, board ${b}`).toBeLessThan(4.5);
        squares += off * off;
        expect(turnBetween(relative(out, first, b), truth), `bay ${seed}, board ${b}`).toBeLessThan(
          0.03,
        );
        checked++;
      });
      expect(Math.abs(out.sigma0Squared - 1)).toBeLessThan(6 * Math.sqrt(2 / out.redundancy));
    }
    expect(checked).toBeGreaterThan(400);
    expect(squares / checked).toBeGreaterThan(0.7);
    expect(squares / checked).toBeLessThan(1.3);
  });

  test("without noise the truth comes back", () => {
    const bay = prune(makeBay({ seed: 3, photos: 8, boards: 8, noise: false }));
    const out = solved(bay.problem);
    expect(out.residualPx).toBeLessThan(1e-6);
    for (const { key } of bay.problem.boards)
      expect(norm(sub(relative(out, "0", key).t, trueRelative(bay, "0", key).t))).toBeLessThan(
        1e-4,
      );
  });
});

describe("datum", () => {
  const bay = prune(makeBay({ seed: 12, photos: 9, boards: 8 }));
  const shuffled: NetworkProblem = {
    ...bay.problem,
    boards: [...bay.problem.boards].reverse(),
    photos: [...bay.problem.photos].reverse(),
    observations: [...bay.problem.observations].reverse(),
  };
  const keys = bay.problem.boards.map((b) => b.key);
  const ownSpread = (key: string): Quantity[] =>
    [0, 1, 2].map((k) => ({ key: `${key} ${k}`, evaluate: (s) => s.pose(key).t[k] }));

  test("values and covariances do not depend on the order of boards and photos", () => {
    const quantities = keys.slice(1).map((k) => distance(keys[0], k));
    const a = solved(bay.problem).propagate(quantities);
    const b = solved(shuffled).propagate(quantities);
    for (let i = 0; i < a.values.length; i++)
      expect(Math.abs(a.values[i] - b.values[i])).toBeLessThan(1e-5);
    for (let i = 0; i < a.covariance.length; i++)
      expect(Math.abs(a.covariance[i] - b.covariance[i])).toBeLessThan(1e-6 * a.covariance[0]);
  });

  test("inner constraints: no board is held, and the total spread does not depend on order", () => {
    const trace = (problem: NetworkProblem) => {
      const { covariance } = solved(problem).propagate(keys.flatMap(ownSpread));
      const m = 3 * keys.length;
      return Array.from({ length: m }, (_, i) => covariance[i * m + i]);
    };
    const a = trace(bay.problem);
    const b = trace(shuffled);
    expect(Math.min(...a)).toBeGreaterThan(1e-4);
    const sum = (v: number[]) => v.reduce((s, x) => s + x, 0);
    expect(Math.abs(sum(a) / sum(b) - 1)).toBeLessThan(1e-5);
  });

  test("photos or boards eliminated: the same answer", () => {
    // More boards than photos makes the boards the eliminated side.
    const wide = prune(makeBay({ seed: 8, photos: 6, boards: 16 }));
    const out = solved(wide.problem);
    const { layout, equations } = out.internals.model;
    const eliminated = layout.blocks.filter((_, i) => equations.keptAt[i] < 0);
    expect(new Set(eliminated.map((b) => b.kind))).toEqual(new Set(["board"]));
    // A chain that ties all boards (and states next to nothing) forces the photos out instead.
    const tied: NetworkProblem = {
      ...wide.problem,
      lengths: wide.problem.boards.slice(1).map((b, i) => ({
        key: `loose ${i}`,
        from: { board: wide.problem.boards[0].key },
        to: { board: b.key },
        lengthMm: norm(trueRelative(wide, wide.problem.boards[0].key, b.key).t),
        sdMm: 1e6,
      })),
    };
    const other = solved(tied);
    const kinds = other.internals.model.layout.blocks.filter(
      (_, i) => other.internals.model.equations.keptAt[i] < 0,
    );
    expect(new Set(kinds.map((b) => b.kind))).toEqual(new Set(["photo"]));
    const names = wide.problem.boards.map((b) => b.key);
    const quantities = names.slice(1).map((k) => distance(names[0], k));
    const a = out.propagate(quantities);
    const b = other.propagate(quantities);
    for (let i = 0; i < a.values.length; i++) {
      expect(Math.abs(a.values[i] - b.values[i])).toBeLessThan(1e-5);
      expect(
        Math.abs(
          a.covariance[i * (a.values.length + 1)] / b.covariance[i * (a.values.length + 1)] - 1,
        ),
      ).toBeLessThan(1e-5);
    }
  });
});

describe("uncertainty budget", () => {
  test("shares add up to the variance, and scale comes from print and lengths", () => {
    const bay = prune(
      makeBay({
        seed: 14,
        photos: 10,
        boards: 8,
        lengths: 3,
        printSd: 0.002,
        cellSd: 0.0003,
        floor: true,
      }),
    );
    const keys = bay.problem.boards.map((b) => b.key);
    const { covariance, budget, values } = solved(bay.problem).propagate([
      distance(keys[0], keys[keys.length - 1]),
    ]);
    const shares = Object.values(budget[0]);
    expect(Math.abs(shares.reduce((s, v) => s + v, 0) / covariance[0] - 1)).toBeLessThan(1e-9);
    for (const share of shares) expect(share).toBeGreaterThanOrEqual(0);
    expect(budget[0]["print scale"]!).toBeGreaterThan(0);
    expect(budget[0]["length reference"]!).toBeGreaterThan(0);
    // Without the lengths the print alone carries the scale: 0.2 % of the distance.
    const alone = solved({ ...bay.problem, lengths: [] }).propagate([
      distance(keys[0], keys[keys.length - 1]),
    ]);
    expect(Math.sqrt(alone.budget[0]["print scale"]!)).toBeGreaterThan(0.8 * 0.002 * values[0]);
    expect(alone.covariance[0]).toBeGreaterThan(covariance[0]);
  });
});

describe("features with full covariance", () => {
  test("W^T W of independent noise gives what isotropic noise gives", () => {
    const bay = prune(makeBay({ seed: 16, photos: 7, boards: 7, grid: 3 }));
    const whole: NetworkProblem = {
      ...bay.problem,
      observations: bay.problem.observations.map((o) => {
        const n = o.pixels.length;
        const sqrtInformation = new Float64Array(n * n);
        for (let i = 0; i < n; i++) sqrtInformation[i * n + i] = 10;
        return { ...o, noise: { kind: "full", rows: n, sqrtInformation } };
      }),
    };
    const quantities = bay.problem.boards
      .slice(1)
      .map((b) => distance(bay.problem.boards[0].key, b.key));
    const a = solved(bay.problem).propagate(quantities);
    const b = solved(whole).propagate(quantities);
    for (let i = 0; i < a.values.length; i++)
      expect(Math.abs(a.values[i] - b.values[i])).toBeLessThan(1e-6);
    for (let i = 0; i < a.covariance.length; i++)
      expect(Math.abs(a.covariance[i] - b.covariance[i])).toBeLessThan(1e-7 * a.covariance[0]);
  });
});

describe("bad input, in words", () => {
  const bay = prune(makeBay({ seed: 18, photos: 8, boards: 8, lengths: 2 }));
  const { problem } = bay;
  const refuse = (changed: NetworkProblem, reason: string, words: RegExp, options = {}) => {
    const outcome = adjust(changed, options);
    expect(outcome.ok).toBe(false);
    if (outcome.ok) return;
    expect(outcome.reason).toBe(reason);
    expect(outcome.remarks.map((r) => r.message).join(" ")).toMatch(words);
  };

  test("the clean problem is accepted", () => {
    expect(adjust(problem).ok).toBe(true);
  });
  test("NaN in a feature", () => {
    const pixels = problem.observations[0].pixels.slice();
    pixels[3] = Number.NaN;
    const observations = [{ ...problem.observations[0], pixels }, ...problem.observations.slice(1)];
    refuse(
      { ...problem, observations },
      "bad input",
      /feature of board .* in photo .* is not a number/,
    );
  });
  test("standard deviation of zero or below", () => {
    for (const sdMm of [0, -1, Number.NaN]) {
      const lengths = [{ ...problem.lengths[0], sdMm }];
      refuse({ ...problem, lengths }, "bad input", /standard deviation of the length L0 is/);
    }
    const observations = problem.observations.map((o) => ({
      ...o,
      noise: { kind: "isotropic" as const, sigmaPx: 0 },
    }));
    refuse({ ...problem, observations }, "bad input", /noise of board/);
  });
  test("lengths that contradict each other", () => {
    const [length] = problem.lengths;
    const lengths = [length, { ...length, key: "again", lengthMm: length.lengthMm + 50 }];
    refuse({ ...problem, lengths }, "bad input", /contradict each other/);
  });
  test("one photo only", () => {
    const photo = problem.photos[0].key;
    const observations = problem.observations.filter((o) => o.photo === photo);
    const boards = problem.boards.filter((b) => observations.some((o) => o.board === b.key));
    const single = { ...problem, photos: [problem.photos[0]], observations, boards, lengths: [] };
    refuse(single, "bad input", /only one photo/, { minimumPhotos: 3 });
  });
  test("no photo shows a board", () => {
    refuse({ ...problem, observations: [] }, "bad input", /No photo shows any board/);
  });
  test("groups that nothing ties together are named", () => {
    const other = prune(makeBay({ seed: 19, photos: 5, boards: 6 })).problem;
    const rename = (key: string) => `x${key}`;
    const both: NetworkProblem = {
      ...problem,
      photos: [...problem.photos, ...other.photos.map((p) => ({ ...p, key: rename(p.key) }))],
      boards: [...problem.boards, ...other.boards.map((b) => ({ ...b, key: rename(b.key) }))],
      observations: [
        ...problem.observations,
        ...other.observations.map((o) => ({
          ...o,
          photo: rename(o.photo),
          board: rename(o.board),
        })),
      ],
    };
    const outcome = adjust(both);
    expect(outcome.ok).toBe(false);
    if (outcome.ok) return;
    expect(outcome.reason).toBe("not connected");
    expect(outcome.groups?.length).toBe(2);
    expect(outcome.groups?.some((g) => g.boards.includes("x0") && !g.boards.includes("0"))).toBe(
      true,
    );
  });
  test("a photo from whose only view no pose follows is named, not started anywhere", () => {
    const [{ key: photo }] = problem.photos;
    const [view, ...rest] = problem.observations.filter((o) => o.photo === photo);
    expect(rest.length).toBeGreaterThan(0);
    const outcome = adjust({
      ...problem,
      observations: [
        ...problem.observations.filter((o) => o.photo !== photo),
        // All points in one place.
        { ...view, pixels: view.pixels.map((_, i) => view.pixels[i % 2]) },
      ],
    });
    expect(outcome).toMatchObject({ ok: false, reason: "not connected" });
    if (outcome.ok) return;
    expect(outcome.groups?.some((g) => g.photos.includes(photo) && g.boards.length === 0)).toBe(
      true,
    );
  });
  test("a frame that nothing ties to the boards", () => {
    refuse({ ...problem, frames: [{ key: "target" }] }, "not determined", /"target"/);
  });
  test("a lens that one flat board from one side does not determine", () => {
    const photo = problem.photos[0].key;
    const observation = problem.observations.find((o) => o.photo === photo)!;
    const board = problem.boards.find((b) => b.key === observation.board)!;
    const flat: NetworkProblem = {
      ...problem,
      cameras: [{ ...problem.cameras[0], priorCovariance: null, focalSd: 0, shiftSdPx: 0 }],
      photos: [problem.photos[0]],
      boards: [board],
      observations: [observation],
      lengths: [],
    };
    const outcome = adjust(flat);
    expect(outcome.ok).toBe(false);
    if (outcome.ok) return;
    expect(outcome.reason).toBe("not determined");
    expect(outcome.remarks[0].message).toContain("the lens of the phone (fx");
    expect(outcome.remarks[0].remedy).toContain("Photograph the sheet from more directions");
  });
  test("unknown names", () => {
    const lengths = [{ ...problem.lengths[0], to: { board: "99" } }];
    refuse({ ...problem, lengths }, "bad input", /unknown board "99"/);
  });
});
