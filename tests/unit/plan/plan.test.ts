import { beforeAll, describe, expect, test } from "vitest";
import type { PhotoOutcome } from "../../../src/detect/findings/findings.ts";
import { learnCamera } from "../../../src/job/run/learn-camera.ts";
import type { CameraKnowledge } from "../../../src/job/run/run.ts";
import { solveJob } from "../../../src/job/solve/solve.ts";
import { candidatesOf, isEnoughTaken, takenChoices } from "../../../src/plan/demand.ts";
import { planFrom, planPhotos } from "../../../src/plan/plan.ts";
import type { PhotoPlan } from "../../../src/plan/plan-types.ts";
import { planTask } from "../../../src/plan/task.ts";
import { sampleJob, simulateSample } from "../../tools/simulated-job.ts";

const { sheet, photos } = simulateSample();
let camera: CameraKnowledge;

beforeAll(() => {
  const answer = learnCamera(sheet, "2026-01-01");
  if (!answer.ok) throw new Error(answer.remarks.map((r) => r.message).join("\n"));
  camera = answer.camera;
});

const planOf = (outcomes: readonly PhotoOutcome[], job = sampleJob()): PhotoPlan => {
  const answer = planPhotos({ job, camera, outcomes, rough: { wheelbaseMm: 2590 } });
  if (!answer.ok) throw new Error(answer.remarks.map((r) => r.message).join("\n"));
  return answer.plan;
};

describe("with all photos of the sample taken", () => {
  test("what is proven now agrees with the measurement's own intervals, and nothing more is asked", () => {
    const plan = planOf(photos);
    const answer = solveJob({ job: sampleJob(), camera, outcomes: photos, measuredAt: "" });
    if (!answer.ok) throw new Error("the sample must be solved");
    expect(plan.basis).toBe("measured");
    for (const check of answer.result.checks) {
      const planned = plan.checks.find(({ id }) => id === check.id)!;
      expect(planned.now! / check.expandedUncertainty).toBeGreaterThan(0.99);
      expect(planned.now! / check.expandedUncertainty).toBeLessThan(1.01);
    }
    expect(plan.enough).toBe(true);
    expect(plan.shots).toEqual([]);
  });
});

describe("before any photo", () => {
  test("a few photos show every board twice and reach what the sheet asks", () => {
    const plan = planOf([]);
    expect(plan.basis).toBe("rough");
    expect(plan.shots.length).toBeGreaterThanOrEqual(3);
    expect(plan.shots.length).toBeLessThanOrEqual(10);
    for (const { board } of plan.boards)
      expect(plan.shots.filter(({ boards }) => boards.includes(board)).length).toBeGreaterThan(1);
    for (const { asked, planned, now } of plan.checks) {
      expect(planned).toBeLessThanOrEqual(asked! * (1 + 1e-6));
      expect(now).toBeNull();
    }
    expect(plan.slipMm).toBeLessThan(15);
  });

  test("nobody is sent into the car, the stand or a wall", () => {
    const room = { ahead: 5000, behind: 5500, left: 3200, right: 3200 };
    const answer = planPhotos({ job: sampleJob(), camera, outcomes: [], room });
    if (!answer.ok) throw new Error("this can be planned");
    expect(answer.plan.shots.length).toBeGreaterThan(2);
    const car = answer.plan.bay.obstacles.find(({ name }) => name === "car")!;
    for (const { at } of answer.plan.shots) {
      const [x, y] = [at[0] - car.pose.t[0], at[1] - car.pose.t[1]];
      expect(Math.abs(x) > car.half[0] + 300 || Math.abs(y) > car.half[1] + 300).toBe(true);
      expect(at[0]).toBeLessThan(room.ahead);
      expect(at[0]).toBeGreaterThan(-room.behind);
      expect(Math.abs(at[1])).toBeLessThan(room.left);
    }
  });

  test("a tighter tolerance is never planned with fewer photos, one that plates forbid is said so", () => {
    const tight = sampleJob((raw) => {
      const sheet = raw.placement as {
        steps: { checks: { id: string; lowerDeviation: number; upperDeviation: number }[] }[];
      };
      const distance = sheet.steps[0].checks.find(({ id }) => id === "distance")!;
      distance.lowerDeviation = -1;
      distance.upperDeviation = 1;
    });
    const plan = planOf([], tight);
    expect(plan.shots.length).toBeGreaterThanOrEqual(planOf([]).shots.length);
    const distance = plan.checks.find(({ id }) => id === "distance")!;
    expect(distance.outOfReach).toBe(true);
    expect(distance.mostly).toBe("wheel plates");
    expect(distance.best).toBeGreaterThan(distance.asked!);
  });

  test("without a target the plan says what comes first", () => {
    const job = { ...sampleJob(), targets: [] };
    const answer = planPhotos({ job, camera, outcomes: [] });
    expect(answer.ok).toBe(false);
    if (!answer.ok) expect(answer.remarks.map(({ code }) => code)).toContain("target-missing");
  });
});

describe("with some photos taken", () => {
  test("the photo asked for shows what is missing, and what it brings is said in the check's unit", () => {
    const plan = planOf(photos.slice(0, 3));
    expect(plan.basis).toBe("rough");
    const missing = plan.boards.filter(({ seen }) => seen === 0).map(({ board }) => board);
    expect(missing.length).toBeGreaterThan(0);
    const shown = plan.shots.flatMap(({ boards }) => boards);
    for (const board of missing) expect(shown).toContain(board);
    expect(plan.enough).toBe(false);
    expect(plan.gain).not.toBeNull();
  });

  test("where the photos are enough, the search among all others would not have asked for one either", () => {
    const input = { job: sampleJob(), camera, outcomes: photos };
    const made = planTask(input);
    if (!made.ok) throw new Error("no task");
    const { task } = made;
    expect(isEnoughTaken(task, takenChoices(task), 2)).toBe(true);
    const searched = planFrom(task, candidatesOf(task, {}));
    const plan = planOf(photos);
    expect(plan.shots).toEqual([]);
    expect(searched.shots).toEqual([]);
    expect(plan.enough).toBe(true);
    expect(plan.boards).toEqual(searched.boards);
    expect(plan.checks.map(({ planned }) => planned)).toEqual(
      searched.checks.map(({ planned }) => planned),
    );
    expect(isEnoughTaken(task, takenChoices(task).slice(0, 5), 2)).toBe(false);
  });

  test("a measured job that lacks one view asks for one more photo", () => {
    const once = photos.slice(0, 8);
    const plan = planOf(once);
    expect(plan.basis).toBe("measured");
    const seldom = plan.boards.filter(({ seen }) => seen < plan.times).map(({ board }) => board);
    expect(seldom.length).toBeGreaterThan(0);
    for (const board of seldom) expect(plan.shots.flatMap(({ boards }) => boards)).toContain(board);
    for (const { now } of plan.checks) expect(now).not.toBeNull();
  });
});
