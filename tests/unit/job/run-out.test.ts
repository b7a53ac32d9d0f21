import { beforeAll, describe, expect, test } from "vitest";
import type { PhotoOutcome } from "../../../src/detect/findings/findings.ts";
import type { JobFile } from "../../../src/job/file/job-file.ts";
import type { Result } from "../../../src/job/result/result.ts";
import { learnCamera } from "../../../src/job/run/learn-camera.ts";
import type { CameraKnowledge } from "../../../src/job/run/run.ts";
import { solveJob } from "../../../src/job/solve/solve.ts";
import { compose, expRotation, type Pose, radians, type Vec3 } from "../../../src/maths/pose.ts";
import { sampleJob, simulateSample } from "../../tools/simulated-job.ts";

/**
 * Whole jobs with crooked plates: by one position of the car, by two between which it was rolled, and
 * by the same plates fitted a second time. The truth is the job with plates that sit exactly.
 */

/** How each plate sits, degrees about its own x and y and mm; up to three times what is stated. */
type Mount = readonly [tiltX: number, tiltY: number, x: number, y: number];
const crooked: Readonly<Record<number, Mount>> = {
  1: [0.1, -0.2, 0.8, -0.5],
  2: [-0.2, 0.1, -0.6, 0.9],
  3: [0.15, 0.4, 1, 0.4],
  4: [-0.1, -0.35, -0.7, -0.8],
};
/** The same plates fitted again: nothing in common with the first time. */
const fittedAgain: Readonly<Record<number, Mount>> = {
  1: [-0.2, 0.15, -0.4, 0.7],
  2: [0.1, 0.2, 0.5, 0.3],
  3: [0.2, -0.1, -0.9, 0.2],
  4: [0.05, 0.15, 0.6, -0.4],
};
const standOffMm = 168;

const along = (mm: number): Pose => ({ R: expRotation([0, 0, 0]), t: [0, 0, mm] });
const turnZ = (rad: number): Pose => ({ R: expRotation([0, 0, rad]), t: [0, 0, 0] });
const wheelFromBoard = ([tiltX, tiltY, x, y]: Mount): Pose => ({
  R: expRotation([radians(tiltX), radians(tiltY), 0]),
  t: [x, y, standOffMm],
});
const isPlate = (id: number): boolean => id <= 4;

/** A plate that sat exactly now sits so, on a wheel that turned by `spin` and went along. */
const sitting =
  (mounts: Readonly<Record<number, Mount>>, spin = 0, went: Vec3 = [0, 0, 0]) =>
  (id: number, exact: Pose): Pose => {
    if (!isPlate(id)) return exact;
    const wheel = compose(exact, along(-standOffMm));
    // A wheel rolling ahead turns counter-clockwise seen from the car's left.
    const turned = compose(wheel, turnZ(id % 2 === 1 ? spin : -spin));
    const there: Pose = { ...turned, t: turned.t.map((v, k) => v + went[k]) as unknown as Vec3 };
    return compose(there, wheelFromBoard(mounts[id]));
  };

/** Each job is solved twice, with all its 32 photos and with those of the first position. */
const solving = 300_000;
const wheelRadiusMm = 308;
const half = Math.PI;

let camera: CameraKnowledge;
let exact: Result;
let once: Result;
const first = simulateSample({ seed: 1, placed: sitting(crooked) }).photos;

const named = (photos: readonly PhotoOutcome[]): string[] =>
  photos.map((photo) => (photo.ok ? photo.findings.name : photo.name));

const solve = (outcomes: readonly PhotoOutcome[], positions: JobFile["positions"] = []): Result => {
  const job = { ...sampleJob(), positions };
  const answer = solveJob({ job, camera, outcomes, measuredAt: "2026-01-01T00:00:00Z" });
  if (!answer.ok) throw new Error(answer.remarks.map((r) => r.message).join("\n"));
  return answer.result;
};

beforeAll(() => {
  const learnt = learnCamera(simulateSample().sheet, "2026-01-01");
  if (!learnt.ok) throw new Error("no camera");
  camera = learnt.camera;
  exact = solve(simulateSample({ seed: 1 }).photos);
  once = solve(first);
}, solving);

const checkOf = (result: Result, id: string) => result.checks.find((check) => check.id === id)!;
/** The check that a wheel plate's tilt costs most. */
const turned = (result: Result) => {
  const widest = [...exact.checks]
    .filter(({ unit }) => unit === "deg")
    .sort((a, b) => b.expandedUncertainty - a.expandedUncertainty)[0];
  return checkOf(result, widest.id);
};

describe("crooked plates in a whole job", () => {
  const both = (
    kind: "rolled" | "refitted",
    placed: (id: number, pose: Pose) => Pose,
  ): { result: Result; brought: Result["remarks"] } => {
    const second = simulateSample({ seed: 2, placed, prefix: "b-" }).photos;
    const result = solve(
      [...first, ...second],
      [
        { name: "A", kind, photos: named(first) },
        { name: "B", kind, photos: named(second) },
      ],
    );
    return {
      result,
      brought: result.remarks.filter(({ code }) => code === "second-position-brought"),
    };
  };

  test("one position errs by them, within what it states", () => {
    for (const check of once.checks) {
      const off = Math.abs(check.measured - checkOf(exact, check.id).measured);
      expect(off).toBeLessThan(1.6 * check.expandedUncertainty);
    }
    expect(once.remarks.map(({ code }) => code)).not.toContain("second-position-brought");
  });

  test(
    "rolled by half a turn, the job comes out as with exact plates, and says what that brought",
    () => {
      const rolled = sitting(crooked, half, [wheelRadiusMm * half, 0, 0]);
      const { result, brought } = both("rolled", rolled);
      for (const check of result.checks) {
        const off = Math.abs(check.measured - checkOf(exact, check.id).measured);
        expect(off).toBeLessThan(check.expandedUncertainty);
      }
      expect(brought).toHaveLength(1);
      const { values, about } = brought[0];
      expect(values).toMatchObject({
        was: checkOf(once, about!).measured,
        is: checkOf(result, about!).measured,
        unsure: checkOf(once, about!).expandedUncertainty,
        sure: checkOf(result, about!).expandedUncertainty,
      });
      expect(Number(values!.sure)).toBeLessThan(0.8 * Number(values!.unsure));
      for (const check of once.checks)
        expect(checkOf(result, check.id).expandedUncertainty).toBeLessThan(
          1.02 * check.expandedUncertainty,
        );
    },
    solving,
  );

  test(
    "fitted a second time, the job lies between both fittings, surer than one",
    () => {
      const { result, brought } = both("refitted", sitting(fittedAgain, 0.3));
      for (const check of result.checks) {
        const off = Math.abs(check.measured - checkOf(exact, check.id).measured);
        expect(off).toBeLessThan(1.6 * check.expandedUncertainty);
      }
      expect(brought).toHaveLength(1);
      const [was, is] = [turned(once), turned(result)];
      expect(is.expandedUncertainty).toBeLessThan(was.expandedUncertainty);
      expect(result.remarks.map(({ code }) => code)).not.toContain("rolled-too-little");
    },
    solving,
  );
});
