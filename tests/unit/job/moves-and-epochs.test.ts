import { describe, expect, test } from "vitest";
import type { PhotoOutcome } from "../../../src/detection/findings.ts";
import type { Vec3 } from "../../../src/geometry/pose.ts";
import type { JobFile } from "../../../src/job/job-file.ts";
import { learnCamera } from "../../../src/job/learn-camera.ts";
import type { Result } from "../../../src/job/result.ts";
import { solveJob } from "../../../src/job/solve.ts";
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
  });

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

describe("photos of the stand after a move", () => {
  test("give the new verdict from the same network with the old car", () => {
    const shift: Vec3 = [-8, -23, 5];
    const moved = simulateSample({ seed: 13, shifts: { 31: shift, 32: shift } });
    const again = renamed(moved.photos, "again-")
      .filter((photo) => photo.ok && photo.findings.boards.some((view) => view.id === 31))
      .slice(0, 3)
      .map((photo) =>
        photo.ok
          ? {
              ok: true as const,
              findings: {
                ...photo.findings,
                boards: photo.findings.boards.filter((view) => view.id > 4),
              },
            }
          : photo,
      );
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
