import { describe, expect, test } from "vitest";
import type { PhotoOutcome } from "../../../src/detect/findings/findings.ts";
import type { JobFile } from "../../../src/job/file/job-file.ts";
import type { Result } from "../../../src/job/result/result.ts";
import { learnCamera } from "../../../src/job/run/learn-camera.ts";
import { solveJob } from "../../../src/job/solve/solve.ts";
import type { Vec3 } from "../../../src/maths/pose.ts";
import { sampleJob, simulateSample } from "../../tools/simulated-job.ts";

const before = simulateSample({ seed: 11 });
const learned = learnCamera(before.sheet, "2026-01-01");
if (!learned.ok) throw new Error(learned.remarks.map((r) => r.message).join("\n"));
const { camera } = learned;

const renamed = (photos: readonly PhotoOutcome[], prefix: string): PhotoOutcome[] =>
  photos.map((photo) =>
    photo.ok
      ? { ok: true, findings: { ...photo.findings, name: prefix + photo.findings.name } }
      : photo,
  );
const showing = (photos: readonly PhotoOutcome[], keep: (id: number) => boolean): PhotoOutcome[] =>
  photos.map((photo) =>
    photo.ok
      ? {
          ok: true,
          findings: {
            ...photo.findings,
            boards: photo.findings.boards.filter((view) => keep(view.id)),
          },
        }
      : photo,
  );
const nameOf = (photo: PhotoOutcome): string => (photo.ok ? photo.findings.name : photo.name);

const solve = (outcomes: readonly PhotoOutcome[], job: JobFile): Result => {
  const answer = solveJob({ job, camera, outcomes, measuredAt: "2026-01-01T00:00:00Z" });
  if (!answer.ok) throw new Error(answer.remarks.map((r) => r.message).join("\n"));
  return answer.result;
};

const withAfter = (shifts: Readonly<Record<number, Vec3>>): Result => {
  const after = renamed(simulateSample({ seed: 12, shifts }).photos, "after-");
  const job = { ...sampleJob(), after: { photos: after.map(nameOf) } };
  return solve([...before.photos, ...after], job);
};

describe("photos after the run", () => {
  test("prove that nothing moved, to less than a millimetre", () => {
    const { stability } = withAfter({});
    expect(stability?.verdict).toBe("nothing moved");
    expect(stability?.boards.length).toBe(18);
    expect(Math.max(...stability!.boards.map((board) => board.expandedMm))).toBeLessThan(1.5);
    // What was seen to move counts as well as its doubt: 0.4 mm +- 0.6 may have been 1 mm.
    const most = Math.max(
      ...stability!.boards.map(({ shiftMm, expandedMm }) => shiftMm + expandedMm),
    );
    expect(stability!.sentence).toContain(`more than ${most.toFixed(1)} mm`);
  });

  // Both sets three times noisier than detection believed: their doubt grows with the misfit, or
  // every board would seem to have moved.
  test("call nothing moved when the photos are noisier than stated", () => {
    const noisy = (seed: number): PhotoOutcome[] =>
      simulateSample({ seed, sigmaPx: 0.15 }).photos.map((photo) =>
        photo.ok
          ? {
              ok: true,
              findings: {
                ...photo.findings,
                boards: photo.findings.boards.map((view) => ({
                  ...view,
                  noise: { kind: "isotropic" as const, sigmaPx: 0.05 },
                })),
              },
            }
          : photo,
      );
    const after = renamed(noisy(22), "after-");
    const job = { ...sampleJob(), after: { photos: after.map(nameOf) } };
    const { stability } = solve([...noisy(21), ...after], job);
    expect(stability?.boards.length).toBe(18);
    expect(stability?.verdict).toBe("nothing moved");
  }, 300_000);

  test("name the stand when somebody bumped it, and by how much", () => {
    const { stability } = withAfter({ 31: [0, 4, 0], 32: [0, 4, 0] });
    expect(stability?.verdict).toBe("moved");
    const moved = stability!.boards.filter((board) => board.moved);
    expect(moved.map((board) => board.key).sort()).toEqual(["31", "32"]);
    for (const board of moved)
      expect(Math.abs(board.shiftMm - 4)).toBeLessThan(board.expandedMm + 0.3);
    expect(stability!.sentence).toContain("board 31");
  });

  test("name a single floor board that was kicked", () => {
    const { stability } = withAfter({ 15: [3, 0, 0] });
    expect(stability!.boards.filter((board) => board.moved).map((board) => board.key)).toEqual([
      "15",
    ]);
  });
});

describe("photos after the run that cannot prove it", () => {
  const stabilityOf = (after: readonly PhotoOutcome[]): Result["stability"] => {
    const job = { ...sampleJob(), after: { photos: after.map(nameOf) } };
    return solve([...before.photos, ...after], job).stability;
  };
  const later = renamed(simulateSample({ seed: 12 }).photos, "after-");

  test("name the stand, which none of them shows", () => {
    const stability = stabilityOf(showing(later, (id) => id < 31 || id > 39));
    expect(stability?.verdict).toBe("not proven");
    expect(stability?.sentence).toContain("no board of the stand");
    expect(stability?.boards.length).toBe(16);
  });

  test("name the car, of which they show one wheel only", () => {
    const stability = stabilityOf(showing(later, (id) => id > 4 || id === 1));
    expect(stability?.verdict).toBe("not proven");
    expect(stability?.sentence).toContain("fewer than two wheel boards");
  });

  test("say so where none of them can be used", () => {
    const stability = stabilityOf(showing(later, () => false));
    expect(stability?.verdict).toBe("not proven");
    expect(stability?.sentence).toContain("after the run");
  });
});

test("a photo that the job names and that is not there is refused, not counted elsewhere", () => {
  const after = renamed(simulateSample({ seed: 12 }).photos.slice(0, 2), "after-").map(nameOf);
  const [first, second] = before.photos.map(nameOf);
  const job = {
    ...sampleJob(),
    positions: [
      { name: "A", kind: "rolled" as const, photos: [first] },
      { name: "B", kind: "rolled" as const, photos: [second.toUpperCase()] },
    ],
    after: { photos: after },
  };
  const outcomes = before.photos;
  const answer = solveJob({ job, camera, outcomes, measuredAt: "2026-01-01T00:00:00Z" });
  if (answer.ok) throw new Error("this job must be refused");
  expect(answer.remarks.map(({ code }) => code)).toEqual(["photos-missing", "photos-missing"]);
  expect(answer.remarks[0].message).toContain(second.toUpperCase());
  expect(answer.remarks[0].message).not.toContain(first);
  expect(answer.remarks[1].message).toContain(after[1]);
});

describe("photos of the stand after a move", () => {
  const photosOfMoved = (photos: readonly PhotoOutcome[]): PhotoOutcome[] =>
    showing(
      renamed(photos, "again-")
        .filter((photo) => photo.ok && photo.findings.boards.some((view) => view.id === 31))
        .slice(0, 3),
      (id) => id > 4,
    );

  test("are what photos after the run are compared with", () => {
    const shifts: Record<number, Vec3> = { 31: [-8, -23, 5], 32: [-8, -23, 5] };
    const again = photosOfMoved(simulateSample({ seed: 13, shifts }).photos);
    const after = renamed(simulateSample({ seed: 14, shifts }).photos, "after-");
    const job = {
      ...sampleJob(),
      standMoves: [{ name: "moved", photos: again.map(nameOf) }],
      after: { photos: after.map(nameOf) },
    };
    const { stability } = solve([...before.photos, ...again, ...after], job);
    expect(stability?.boards.map((board) => board.key)).toContain("31");
    expect(stability?.verdict).toBe("nothing moved");
  });

  test("give the new verdict from the same network with the old car", () => {
    const shift: Vec3 = [-8, -23, 5];
    const moved = simulateSample({ seed: 13, shifts: { 31: shift, 32: shift } });
    const again = photosOfMoved(moved.photos);
    expect(again.length).toBe(3);
    const first = solve(before.photos, sampleJob());
    const job = { ...sampleJob(), standMoves: [{ name: "moved", photos: again.map(nameOf) }] };
    const second = solve([...before.photos, ...again], job);
    const value = (result: Result, quantity: string): number =>
      result.checks.find((check) => check.quantity === quantity)!.measured;
    for (const [quantity, by] of [
      ["distance", -8],
      ["lateral offset", -23],
      ["height", 5],
    ] as const)
      expect(
        Math.abs(value(second, quantity) - value(first, quantity) - by),
        quantity,
      ).toBeLessThan(0.5);
  });
});
