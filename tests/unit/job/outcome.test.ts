import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import type { PhotoOutcome } from "../../../src/detect/findings/findings.ts";
import type { JobFile } from "../../../src/job/file/job-file.ts";
import {
  consequenceOf,
  consequences,
  consequencesTable,
} from "../../../src/job/result/consequences.ts";
import { decideOutcome, exitStatusOf, isHeldBack } from "../../../src/job/result/outcome.ts";
import type { Remark } from "../../../src/job/result/remark-codes.ts";
import { reportText } from "../../../src/job/result/report-text.ts";
import { learnCamera } from "../../../src/job/run/learn-camera.ts";
import type { CameraKnowledge } from "../../../src/job/run/run.ts";
import { solveJob } from "../../../src/job/solve/solve.ts";
import type { Lens } from "../../../src/lens/lens.ts";
import { sampleJob, simulateSample } from "../../tools/simulated-job.ts";

/** The sample with tolerances so wide that every number lies inside. */
const allInside = (change: (raw: Record<string, unknown>) => void = () => undefined): JobFile =>
  sampleJob((raw) => {
    const placement = raw.placement as { steps: { checks: Record<string, unknown>[] }[] };
    for (const check of placement.steps.flatMap(({ checks }) => checks)) {
      check.lowerDeviation = -100;
      check.upperDeviation = 100;
    }
    change(raw);
  });

const { sheet, photos } = simulateSample({ seed: 5 });
const learned = learnCamera(sheet, "2026-01-01");
if (!learned.ok) throw new Error("the sample's sheet photos must give a lens");
const { camera } = learned;

const measure = (
  job: JobFile,
  outcomes: readonly PhotoOutcome[] = photos,
  knowledge: CameraKnowledge = camera,
) => {
  const answer = solveJob({
    job,
    camera: knowledge,
    outcomes,
    measuredAt: "2026-01-01T00:00:00Z",
  });
  if (!answer.ok) throw new Error(answer.remarks.map(({ message }) => message).join("\n"));
  return answer.result;
};

const codesOf = (remarks: readonly { code: string }[]) => remarks.map(({ code }) => code);

/** Every channel says that nothing is proven, and why. */
const expectHeldBack = (result: ReturnType<typeof measure>, code: string, words: RegExp) => {
  expect(new Set(result.checks.map(({ verdict }) => verdict))).toEqual(new Set(["not proven"]));
  expect(new Set(result.checks.map(({ byNumber }) => byNumber))).toEqual(new Set(["meets"]));
  expect(result.outcome).toBe("not proven");
  expect(isHeldBack(result)).toBe(true);
  expect(codesOf(result.heldBack)).toContain(code);
  expect(exitStatusOf(result)).toBe(1);
  const text = reportText(result).replace(/\s+/g, " ");
  expect(text).toContain(": Not proven. ");
  expect(text).not.toMatch(/all \d+ checks meet/i);
  expect(text).toMatch(words);
};

describe("a doubt keeps the verdict back", () => {
  test("not without one: the same job meets", () => {
    const result = measure(allInside());
    expect(result.outcome).toBe("all meet");
    expect(result.heldBack).toEqual([]);
    expect(exitStatusOf(result)).toBe(0);
    expect(reportText(result)).toMatch(/All \d+ checks meet\./);
  });

  test("the photos after the run say that the stand moved", () => {
    const shifts = { 31: [0, 4, 0], 32: [0, 4, 0] } as const;
    const after = simulateSample({ seed: 12, shifts }).photos.map((photo) =>
      photo.ok
        ? {
            ok: true as const,
            findings: { ...photo.findings, name: `after-${photo.findings.name}` },
          }
        : photo,
    );
    const names = after.flatMap((photo) => (photo.ok ? [photo.findings.name] : []));
    const result = measure({ ...allInside(), after: { photos: names } }, [...photos, ...after]);
    expect(result.stability?.verdict).toBe("moved");
    expectHeldBack(result, "moved-after-run", /Moved since the first photos: board 31/);
  });

  // What focusing changes of the focal length is no contradiction; a shift of the image is one, and
  // so is a focal length that no focusing explains.
  const savedProfile = (change: (lens: Lens) => Partial<Lens>): CameraKnowledge => {
    const { profile } = camera;
    const lens = { ...profile.lens, ...change(profile.lens) };
    return { ...camera, source: "saved profile", profile: { ...profile, lens } };
  };

  test("the job's photos contradict the camera profile", () => {
    const shifted = savedProfile(({ cx }) => ({ cx: cx + 25 }));
    expectHeldBack(measure(allInside(), photos, shifted), "profile-disagrees", /camera profile/);
  });

  test("the job's photos contradict a distortion so grossly that hand and noise swallow it", () => {
    const glass = savedProfile(({ k1 }) => ({ k1: k1 + 0.02 }));
    expectHeldBack(measure(allInside(), photos, glass), "profile-disagrees", /camera profile/);
  });

  test("a required value lies outside its own limits: a sign was lost", () => {
    const slipped = allInside((raw) => {
      const placement = raw.placement as { steps: { checks: Record<string, unknown>[] }[] };
      placement.steps[0].checks[0].lowerDeviation = 5;
    });
    const result = measure(slipped);
    expect(codesOf(result.heldBack)).toContain("sheet-required-outside");
    expect(result.outcome).toBe("not proven");
  });

  test("the job's photos show a focal length that no focusing explains", () => {
    const longer = savedProfile(({ fx, fy }) => ({ fx: 1.03 * fx, fy: 1.03 * fy }));
    expectHeldBack(measure(allInside(), photos, longer), "profile-disagrees", /camera profile/);
    const shorter = savedProfile(({ fx, fy }) => ({ fx: 0.97 * fx, fy: 0.97 * fy }));
    const result = measure(allInside(), photos, shorter);
    expect(codesOf(result.heldBack)).toContain("profile-disagrees-zoomed");
  });

  test("the sheet asks for a second position and there is none", () => {
    const job = allInside((raw) => {
      (raw.placement as Record<string, unknown>).secondPosition = true;
    });
    expectHeldBack(measure(job), "second-position-asked", /asks for a second position/);
  });

  test("the sheet is an invented example, the car is not", () => {
    const job = allInside((raw) => {
      raw.invented = false;
      (raw.placement as Record<string, unknown>).invented = true;
    });
    expectHeldBack(measure(job), "sheet-invented", /invented example/);
  });

  test("the tape contradicts a check", () => {
    const distance = measure(allInside()).checks.find(({ id }) => id === "distance")!;
    const reading = { check: "distance", value: distance.measured + 40, expanded: 4, by: "tape" };
    const job = { ...allInside(), readings: [reading] };
    expectHeldBack(measure(job), "reading-disagrees", /Does not agree with tape/);
  });

  test("another target than the sheet's may have been measured", () => {
    const job = allInside((raw) => {
      const [target] = raw.targets as { name: string }[];
      raw.targets = [{ ...target, name: "another board" }];
    });
    expectHeldBack(measure(job), "target-other-name", /is it the same\?/);
  });

  test("a doubt makes a miss doubtful, too, and what the number says stays beside it", () => {
    const doubt: Pick<Remark, "code" | "severity" | "message" | "remedy"> = {
      code: "unsteady",
      severity: "error",
      message: "",
      remedy: "",
    };
    const decided = decideOutcome([{ verdict: "misses" }], [doubt]);
    expect(decided.outcome).toBe("not proven");
    expect(decided.checks).toEqual([{ verdict: "not proven", byNumber: "misses" }]);
    expect(decided.heldBack).toEqual([doubt]);
    // Deciding once more changes nothing.
    expect(decideOutcome(decided.checks, [doubt]).checks).toEqual(decided.checks);
    const harmless = { ...doubt, code: "photo-alike" } as const;
    expect(decideOutcome([{ verdict: "misses" }], [harmless]).outcome).toBe("some miss");
  });
});

test("one listed car position and photos of none: refused, with their names", () => {
  const [first, second] = photos.flatMap((photo) => (photo.ok ? [photo.findings.name] : []));
  const job = {
    ...allInside(),
    positions: [{ name: "A", kind: "rolled" as const, photos: [first] }],
  };
  const answer = solveJob({ job, camera, outcomes: photos, measuredAt: "2026-01-01T00:00:00Z" });
  if (answer.ok) throw new Error("this job must be refused");
  expect(codesOf(answer.remarks)).toEqual(["position-photos-unlisted"]);
  expect(answer.remarks[0].message).toContain(second);
  // All photos in the one position: the car was not moved, and nothing is in doubt.
  const names = photos.flatMap((photo) => (photo.ok ? [photo.findings.name] : []));
  const whole = { ...job, positions: [{ ...job.positions[0], photos: names }] };
  expect(measure(whole).outcome).toBe("all meet");
});

test("a length that only the first photos show is no news of the photos after the run", () => {
  const { from } = sampleJob().lengths[0];
  const after = simulateSample({ seed: 12 }).photos.map((photo) =>
    photo.ok
      ? {
          ok: true as const,
          findings: {
            ...photo.findings,
            name: `after-${photo.findings.name}`,
            boards: photo.findings.boards.filter(({ id }) => id !== from),
          },
        }
      : photo,
  );
  const names = after.flatMap((photo) => (photo.ok ? [photo.findings.name] : []));
  const result = measure({ ...allInside(), after: { photos: names } }, [...photos, ...after]);
  expect(result.stability?.verdict).toBe("nothing moved");
  expect(codesOf(result.remarks)).not.toContain("length-without-board");
});

describe("the table of consequences", () => {
  test("a code of another version is doubtful", () => {
    expect(consequenceOf("never-heard-of")).toBe("holds back");
  });

  test("the document beside it is this table", () => {
    const file = "src/job/result/consequences.md";
    expect(readFileSync(file, "utf8")).toContain(consequencesTable());
    expect(Object.keys(consequences).length).toBeGreaterThan(140);
  });
});
