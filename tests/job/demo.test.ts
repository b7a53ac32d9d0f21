import { readFileSync } from "node:fs";
import { beforeAll, describe, expect, test } from "vitest";
import {
  boardOnlyPlacement,
  measuredBoards,
  pairErrors,
  type Truth,
  trueBoards,
  trueValue,
  truthSchema,
} from "../../src/cli/demo-truth.ts";
import { readJobFolder } from "../../src/cli/job-folder.ts";
import { reportText } from "../../src/job/result/report-text.ts";
import { type Result, resultSchema } from "../../src/job/result/result.ts";
import { runJob } from "../../src/job/run/run.ts";
import { nodePorts } from "../../workers/node/node-ports.ts";

/**
 * The whole job on the sample photos against the renderer's truth: an outside check, since Blender
 * and OpenCV made the photos and know nothing of this code.
 */
const folder = "sample-images/demo-job";
let result: Result;
let truth: Truth;

beforeAll(async () => {
  const { ports, close } = nodePorts();
  try {
    truth = truthSchema.parse(JSON.parse(readFileSync(`${folder}/truth.json`, "utf8")));
    const answer = await runJob(await readJobFolder(folder), ports);
    if (!answer.ok) throw new Error(answer.remarks.map((r) => r.message).join("\n"));
    result = answer.result;
  } finally {
    close();
  }
});

describe("the sample job", () => {
  test("uses every photo and places every board", () => {
    expect(result.photos.length).toBeGreaterThanOrEqual(12);
    expect(result.photos.filter((photo) => !photo.used)).toEqual([]);
    expect(result.boards.map((board) => board.id).sort((a, b) => a - b)).toEqual(
      truth.boards.map((board) => board.id).sort((a, b) => a - b),
    );
  });

  test("agrees with the true poses of the printed boards", () => {
    const measured = boardOnlyPlacement(measuredBoards(result));
    const exact = boardOnlyPlacement(trueBoards(truth));
    expect(Math.abs(measured.aheadMm - exact.aheadMm)).toBeLessThan(2);
    expect(Math.abs(measured.leftMm - exact.leftMm)).toBeLessThan(2);
    expect(Math.abs(measured.yawDeg - exact.yawDeg)).toBeLessThan(0.05);
    const pairs = pairErrors(trueBoards(truth), measuredBoards(result));
    expect(pairs.pairs).toBeGreaterThan(100);
    expect(pairs.worstMm).toBeLessThan(2);
    // Without the common scale, which comes from laser and ruler: the camera's own share.
    expect(pairs.shapeWorstMm).toBeLessThan(0.3);
  });

  test("the check of the poses can fail: a board moved by 3 mm is noticed", () => {
    const moved = new Map(measuredBoards(result));
    const pose = moved.get(31)!;
    moved.set(31, { ...pose, t: [pose.t[0] + 3, pose.t[1], pose.t[2]] });
    expect(pairErrors(trueBoards(truth), moved).worstMm).toBeGreaterThan(2);
  });

  test("every check's error lies inside its stated 95 % interval", () => {
    expect(result.checks.length).toBe(6);
    for (const check of result.checks) {
      const exact = trueValue(truth, check.quantity);
      expect(exact, check.label).not.toBeNull();
      expect(Math.abs(check.measured - exact!), check.label).toBeLessThan(
        check.expandedUncertainty,
      );
    }
  });

  test("finds that the stand is off and says which way to move it", () => {
    expect(result.outcome).toBe("some miss");
    const lateral = result.checks.find((check) => check.quantity === "lateral offset")!;
    expect(lateral.verdict).toBe("misses");
    expect(lateral.inWords).toMatch(/left/);
    expect(result.moves.length).toBeGreaterThan(0);
    expect(result.moves.map((move) => move.kind)).toContain("turn");
  });

  test("the result follows its schema and its budgets add up", () => {
    expect(resultSchema.safeParse(JSON.parse(JSON.stringify(result))).success).toBe(true);
    for (const check of result.checks) {
      const total = check.budget.reduce((sum, { share }) => sum + share, 0);
      expect(Math.abs(total - 1), check.label).toBeLessThan(0.01);
    }
  });

  test("the text report fits 80 columns", () => {
    const lines = reportText(result).split("\n");
    expect(lines.length).toBeGreaterThan(10);
    expect(lines.filter((line) => line.length > 80)).toEqual([]);
  });
});
