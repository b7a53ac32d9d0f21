import { describe, expect, test } from "vitest";
import type { PhotoOutcome } from "../../../src/detect/findings/findings.ts";
import { firstRemarks, ranked } from "../../../src/job/result/rank.ts";
import { reportText } from "../../../src/job/result/report-text.ts";
import { learnCamera } from "../../../src/job/run/learn-camera.ts";
import { solveJob } from "../../../src/job/solve/solve.ts";
import { sampleJob, simulateSample } from "../../tools/simulated-job.ts";

const { sheet, photos } = simulateSample({ seed: 41 });
const learned = learnCamera(sheet, "2026-01-01");
if (!learned.ok) throw new Error("the sample's sheet photos must give a lens");
const { camera } = learned;

const solve = (outcomes: readonly PhotoOutcome[], job = sampleJob()) => {
  const answer = solveJob({ job, camera, outcomes, measuredAt: "2026-01-01T00:00:00Z" });
  if (!answer.ok) throw new Error(answer.remarks.map(({ message }) => message).join("\n"));
  return answer.result;
};

const believing = (outcomes: readonly PhotoOutcome[], sigmaPx: number): PhotoOutcome[] =>
  outcomes.map((photo) =>
    photo.ok
      ? {
          ok: true,
          findings: {
            ...photo.findings,
            boards: photo.findings.boards.map((view) => ({
              ...view,
              noise: { kind: "isotropic" as const, sigmaPx },
            })),
          },
        }
      : photo,
  );

/** All measured lengths longer than they are: a tape hooked on wrongly, 100 mm each time. */
const lengthened = (by: number, only = 3) =>
  sampleJob((raw) => {
    for (const length of (raw.lengths as { lengthMm: number }[]).slice(0, only))
      length.lengthMm += by;
  });

describe("one statement that contradicts the rest", () => {
  const result = solve(photos, lengthened(60, 1));

  test("is named with its boards and with what it costs a check", () => {
    const named = result.remarks.find(({ code }) => code === "statement-does-not-fit");
    expect(named?.message).toMatch(/^The measured length \(board 21, 15\) does not fit the photos/);
    expect(named?.message).not.toMatch(/length length|\d{3,}\.\d times/);
    expect(named?.cost?.amount).toBeGreaterThan(0.5);
  });

  test("holds the verdict back where it moves a check by more than its interval", () => {
    const depends = result.heldBack.find(({ code }) => code === "check-depends");
    expect(depends?.cost?.share).toBeGreaterThan(1);
    expect(depends?.message).toContain("The measured length");
  });

  test("costs nothing to speak of where it is right", () => {
    expect(solve(photos).remarks.filter(({ cost }) => cost)).toEqual([]);
  });
});

describe("a misfit that all photos share", () => {
  // All boards four times noisier than believed: none of them is at fault.
  const noisy = believing(simulateSample({ seed: 42, sigmaPx: 0.2 }).photos, 0.05);
  const result = solve(noisy);

  test("is said once, and no board is blamed", () => {
    const codes = result.remarks.map(({ code }) => code);
    expect(codes.filter((code) => code.startsWith("misfit-"))).toEqual(["misfit-shared"]);
    expect(codes).not.toContain("does-not-fit");
    expect(codes).not.toContain("given-less-weight");
    const { message } = result.remarks.find(({ code }) => code === "misfit-shared")!;
    expect(message).toMatch(/fit (3\.9|4\.0|4\.1) times worse/);
  });

  test("of six times the stated noise is too large for a verdict", () => {
    const gross = believing(simulateSample({ seed: 43, sigmaPx: 0.3 }).photos, 0.05);
    expect(solve(gross).heldBack.map(({ code }) => code)).toContain("misfit-large");
  });
});

describe("many remarks", () => {
  const remark = (code: string, severity: "info" | "warning", share = 0) => ({
    code,
    severity,
    message: `${code} ${share}`,
    remedy: "",
    ...(share > 0
      ? { cost: { check: "d", label: "Distance", amount: share, unit: "mm" as const, share } }
      : {}),
  });

  test("stand in the order of what they cost the checks", () => {
    const given = [
      remark("exif-missing", "info"),
      remark("does-not-fit", "warning"),
      remark("does-not-fit", "warning", 0.4),
      remark("statement-does-not-fit", "warning", 0.9),
      remark("methods-disagree", "warning"),
    ];
    expect(ranked(given).map(({ message }) => message)).toEqual([
      "methods-disagree 0",
      "statement-does-not-fit 0.9",
      "does-not-fit 0.4",
      "does-not-fit 0",
      "exif-missing 0",
    ]);
  });

  test("are folded after the first five, and all printed when asked for", () => {
    const result = solve(photos);
    const remarks = Array.from({ length: 9 }, (_, i) => ({
      ...remark("does-not-fit", "warning"),
      message: `Note number ${i}.`,
    }));
    const text = reportText({ ...result, heldBack: [], remarks });
    expect(text.match(/Note number/g)?.length).toBe(firstRemarks);
    expect(text).toContain("and 4 more");
    expect(
      reportText({ ...result, remarks }, { allNotes: true }).match(/Note number/g)?.length,
    ).toBe(9);
  });
});
