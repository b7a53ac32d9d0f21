import { describe, expect, test } from "vitest";
import { type Adjusted, adjust } from "../../../src/adjust/adjust.ts";
import type { NetworkProblem } from "../../../src/adjust/problem/problem.ts";
import { adjustedAndDiagnosed, diagnose } from "../../../src/adjust/test/diagnosis.ts";
import { project } from "../../../src/lens/lens.ts";
import { transform, type Vec3 } from "../../../src/maths/pose.ts";
import { type Bay, makeBay, prune } from "./bay.ts";

const solved = (problem: NetworkProblem): Adjusted => {
  const outcome = adjust(problem);
  if (!outcome.ok) throw new Error(outcome.remarks.map((r) => r.message).join(" "));
  return outcome;
};

const bayOf = (seed: number): Bay =>
  prune(
    makeBay({
      seed,
      photos: 12,
      boards: 10,
      floor: true,
      lengths: 3,
      cellSd: 0.0005,
      printSd: 0.001,
    }),
  );

const target = "5";

/** The bay as it would have been seen had the target board moved by `shift` before the late photos. */
const moveBoard = (bay: Bay, late: ReadonlySet<string>, shift: Vec3): NetworkProblem => {
  const pose = bay.truth.board.get(target)!;
  const cell = bay.truth.cellMm.get(target)!;
  const moved = {
    R: pose.R,
    t: [pose.t[0] + shift[0], pose.t[1] + shift[1], pose.t[2] + shift[2]] as Vec3,
  };
  return {
    ...bay.problem,
    lengths: bay.problem.lengths.filter((l) => l.from.board !== target && l.to.board !== target),
    observations: bay.problem.observations.map((o) => {
      if (o.board !== target || !late.has(o.photo)) return o;
      const camera = bay.truth.photo.get(o.photo)!;
      const pixels = o.pixels.slice();
      for (let i = 0; i < pixels.length; i += 2) {
        const point: Vec3 = [o.boardPoints[i] * cell, o.boardPoints[i + 1] * cell, 0];
        const before = project(bay.truth.lens, transform(camera, transform(pose, point)))!;
        const after = project(bay.truth.lens, transform(camera, transform(moved, point)))!;
        pixels[i] += after[0] - before[0];
        pixels[i + 1] += after[1] - before[1];
      }
      return { ...o, pixels };
    }),
  };
};

const viewsOf = (bay: Bay) => bay.problem.observations.filter((o) => o.board === target);

describe("clean bays", () => {
  test("raise no alarm and pass the global test", () => {
    for (const seed of [1, 2, 3, 4]) {
      const bay = bayOf(seed);
      const { diagnosis } = adjustedAndDiagnosed(bay.problem, solved(bay.problem));
      expect(diagnosis.misfits.length).toBe(0);
      expect(diagnosis.moved.length + diagnosis.scaled.length).toBe(0);
      expect(diagnosis.global.passes).toBe(true);
      expect(diagnosis.tests.length).toBeGreaterThan(bay.problem.observations.length);
    }
  });

  test("redundancy numbers add up to the redundancy", () => {
    const bay = bayOf(2);
    const out = solved(bay.problem);
    const { views, statements } = out.internals.model;
    let sum = 0;
    const { tests } = diagnose(out);
    for (const t of tests) {
      if (t.kind === "view") sum += t.redundancy * views[t.index].rows;
      else if (statements[t.index].source === "lens")
        sum += t.redundancy * statements[t.index].rows;
      else sum += t.redundancy;
    }
    expect(Math.abs(sum - out.redundancy)).toBeLessThan(1e-4);
  });
});

describe("faults are named", () => {
  test("a board that moved is dated and split, the rest stays where it is", () => {
    for (const seed of [1, 2, 3, 5]) {
      const bay = bayOf(seed);
      const views = viewsOf(bay);
      const k = Math.floor(views.length / 2);
      expect(k).toBeGreaterThanOrEqual(2);
      const problem = moveBoard(bay, new Set(views.slice(k).map((o) => o.photo)), [4, 3, 0]);
      const { diagnosis } = adjustedAndDiagnosed(problem, solved(problem));
      expect(diagnosis.moved.length).toBe(1);
      const [moved] = diagnosis.moved;
      expect(moved.board).toBe(target);
      expect(moved.lastBefore).toBe(views[k - 1].photo);
      expect(moved.firstAfter).toBe(views[k].photo);
      expect(Math.abs(moved.shiftMm - 5)).toBeLessThan(4 * moved.shiftSdMm + 0.2);
      expect(diagnosis.remarks[0].message).toMatch(
        `between photo ${moved.lastBefore} and photo ${moved.firstAfter}`,
      );
    }
  });

  test("a print at another scale is named with its scale", () => {
    for (const seed of [1, 3]) {
      const bay = bayOf(seed);
      const boards = bay.problem.boards.map((b) =>
        b.key === target ? { ...b, cellMm: b.cellMm * 1.006 } : b,
      );
      const problem = { ...bay.problem, boards };
      const { diagnosis } = adjustedAndDiagnosed(problem, solved(problem));
      expect(diagnosis.scaled.map((s) => s.board)).toEqual([target]);
      const [found] = diagnosis.scaled;
      const truth = bay.truth.cellMm.get(target)! / (13 * 1.006);
      expect(Math.abs(found.scale - truth)).toBeLessThan(4 * found.scaleSd);
      expect(diagnosis.moved.length).toBe(0);
    }
  });

  test("lengths that all are too long contradict the ruler on the print", () => {
    const scaleOf = (seed: number, off: number) => {
      const bay = prune(
        makeBay({
          ...{ seed, photos: 12, boards: 10, floor: true, lengths: 3 },
          ...{ printSd: 0.0007, lengthSdMm: 0.3, noise: false },
        }),
      );
      const lengths = bay.problem.lengths.map((length) => ({
        ...length,
        lengthMm: length.lengthMm * (1 + off),
      }));
      return diagnose(solved({ ...bay.problem, lengths })).remarks.filter(({ code }) =>
        ["lengths-against-print", "statement-does-not-fit"].includes(code),
      );
    };
    const seeds = [1, 2, 3, 4];
    expect(seeds.flatMap((seed) => scaleOf(seed, 0))).toEqual([]);
    // By three and a half of the print's spreads: a test among hundreds names it in one bay of these.
    const long = seeds.map((seed) => scaleOf(seed, 0.0025)[0]?.values?.way);
    const short = seeds.map((seed) => scaleOf(seed, -0.0025)[0]?.values?.way);
    expect(long.filter((way) => way === "larger").length).toBeGreaterThanOrEqual(3);
    expect(short.filter((way) => way === "smaller").length).toBeGreaterThanOrEqual(3);
    expect(long).not.toContain("smaller");
    expect(short).not.toContain("larger");
  });

  test("a wrong length is named, alone", () => {
    for (const seed of [1, 2, 3]) {
      const bay = bayOf(seed);
      const lengths = bay.problem.lengths.map((l, i) =>
        i === 0 ? { ...l, lengthMm: l.lengthMm + 12 } : l,
      );
      const problem = { ...bay.problem, lengths };
      const { diagnosis } = adjustedAndDiagnosed(problem, solved(problem));
      expect(diagnosis.misfits.map((t) => t.label)).toEqual([`length ${lengths[0].key}`]);
    }
  });

  test("a board seen wrongly in one photo is named with the photo and stays in the list", () => {
    for (const seed of [2, 4, 5]) {
      const bay = bayOf(seed);
      const wrong = viewsOf(bay)[0];
      const observations = bay.problem.observations.map((o) =>
        o === wrong ? { ...o, pixels: o.pixels.map((v, i) => v + (i % 2 ? 3 : 0)) } : o,
      );
      const problem = { ...bay.problem, observations };
      const out = solved(problem);
      const { diagnosis } = adjustedAndDiagnosed(problem, out);
      expect(diagnosis.misfits[0].photo).toBe(wrong.photo);
      expect(diagnosis.misfits[0].board).toBe(target);
      expect(diagnosis.moved.length).toBe(0);
      // Never dropped: every view is still an observation.
      expect(out.internals.model.views.length).toBe(observations.length);
    }
  });

  test("a photo that was cropped as a whole is named itself, and no board is called moved or scaled", () => {
    const bay = prune(
      makeBay({
        ...{ seed: 2, photos: 12, boards: 10, floor: true, lengths: 3, cellSd: 0.0005 },
        ...{ focalSd: 0.0005, shiftSdPx: 2 },
      }),
    );
    const [photo] = bay.problem.photos.map(({ key }) => key).slice(6);
    const observations = bay.problem.observations.map((o) =>
      o.photo === photo ? { ...o, pixels: o.pixels.map((v, i) => v + (i % 2 ? 90 : -140)) } : o,
    );
    const problem = { ...bay.problem, observations };
    const { diagnosis } = adjustedAndDiagnosed(problem, solved(problem));
    const named = diagnosis.remarks.filter(({ code }) => code === "photo-altered");
    expect(named.map(({ values }) => values?.photo)).toEqual([photo]);
    expect(named[0].message).toContain(photo);
    expect(diagnosis.moved).toEqual([]);
    expect(diagnosis.scaled).toEqual([]);
  });

  test("of many wrong views six are named and the rest is counted", () => {
    const bay = bayOf(2);
    const { observations } = bay.problem;
    // Every fifth view, of a board and a photo each time another: none of them is the majority.
    const spoilt = observations.map((o, k) =>
      k % 5 === 0 ? { ...o, pixels: o.pixels.map((v, i) => v + (i % 2 ? 3 : -2)) } : o,
    );
    const problem = { ...bay.problem, observations: spoilt };
    const { misfits, remarks } = diagnose(solved(problem));
    const more = remarks.find(({ code }) => code === "misfits-more");
    expect(misfits.length).toBe(6);
    expect(more?.values?.count).toBeGreaterThan(0);
    expect(more?.message).toContain(String(more?.values?.count));
  });

  test("a board on a cable makes no innocent board seem moved", () => {
    for (const seed of [1, 2, 3]) {
      const bay = bayOf(seed);
      const [statement] = bay.problem.floor;
      const floor = bay.problem.floor.map((f) =>
        f === statement ? { ...f, heightMm: f.heightMm - 25 } : f,
      );
      const problem = { ...bay.problem, floor };
      const { diagnosis } = adjustedAndDiagnosed(problem, solved(problem));
      expect(diagnosis.moved).toEqual([]);
      const named = diagnosis.misfits.filter((t) => t.source === "floor").flatMap((t) => t.boards);
      expect(named).toContain(statement.board);
    }
  });

  test("photos from one place only get a warning", () => {
    const bay = bayOf(1);
    // Only what the first photo shows, as if it had been taken three times.
    const [first] = bay.problem.photos;
    const shown = bay.problem.observations.filter((o) => o.photo === first.key);
    const again = ["a", "b", "c"];
    const problem: NetworkProblem = {
      ...bay.problem,
      photos: again.map((key) => ({ ...first, key })),
      boards: bay.problem.boards.filter((b) => shown.some((o) => o.board === b.key)),
      observations: again.flatMap((photo) => shown.map((o) => ({ ...o, photo }))),
      lengths: [],
      floor: [],
    };
    const { remarks } = diagnose(solved(problem));
    expect(remarks.some((r) => r.code === "one-place")).toBe(true);
    expect(diagnose(solved(bay.problem)).remarks.some((r) => r.code === "one-place")).toBe(false);
  });
});
