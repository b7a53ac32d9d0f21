/** Sheet photos while they come in: what is known at once, and when the stage is finished. */
import { describe, expect, test } from "vitest";
import { isFinished, stageStatuses } from "../../../src/app/context/stage-status.ts";
import { inventedJob } from "../../../src/app/fixtures/invented-job.ts";
import { sheetSoFar } from "../../../src/app/photos/sheet-so-far.ts";
import type { JobState } from "../../../src/app/state/job-state.ts";
import { jobRecordSchema, type PhotoRecord } from "../../../src/app/store/database/schema.ts";
import type { PhotoOutcome } from "../../../src/detect/findings/findings.ts";
import { guideCamera } from "../../../src/job/run/learn-camera.ts";
import { simulateSample } from "../../tools/simulated-job.ts";

const { sheet } = simulateSample();
const atLeast = 8;

const photo = (at: number): PhotoRecord => ({
  ...{ id: `p${at}`, jobId: "j", name: `sheet-${at}.jpg`, purpose: "sheet", position: 1 },
  ...{ setup: 1, epoch: "before", about: "", addedAt: "2026-01-01", byteLength: 1 },
  ...{ fingerprint: `f${at}`, thumb: null, removed: false },
});

/** A job with `count` sheet photos, of which the first `examined` have been examined. */
const jobWith = (count: number, examined: number, answers: readonly PhotoOutcome[] = sheet) => ({
  photos: Array.from({ length: count }, (_, at) => photo(at)),
  outcomes: new Map(
    Array.from({ length: examined }, (_, at) => [
      `p${at}`,
      { lensKey: "none", outcome: answers[at] },
    ]),
  ),
});

describe("while sheet photos are examined", () => {
  test("counts those examined, and says what is missing in any case", () => {
    expect(sheet.length).toBeGreaterThanOrEqual(12);
    const few = sheetSoFar(jobWith(5, 2), atLeast);
    expect(few).toMatchObject({ count: 5, examined: 2, found: 2, needed: 3 });
    expect(few.missingCorners.length).toBeGreaterThan(0);
    expect(sheetSoFar(jobWith(12, 5), atLeast)).toMatchObject({ examined: 5, needed: 0 });
    expect(sheetSoFar(jobWith(12, 12), atLeast).missingCorners).toEqual([]);
    expect(sheetSoFar(jobWith(0, 0), atLeast)).toMatchObject({ count: 0, found: 0, needed: 8 });
  });

  test("a photo that cannot be read or shows no sheet is examined but not found", () => {
    const first = sheet[0];
    if (!first.ok) throw new Error("The sample's first sheet photo must be readable.");
    const answers: PhotoOutcome[] = [
      first,
      { ok: true, findings: { ...first.findings, boards: [] } },
      {
        ...{ ok: false, name: "sheet-2.jpg" },
        remark: { code: "unreadable", severity: "error", message: "", remedy: "" },
      } as PhotoOutcome,
    ];
    const { examined, found, needed } = sheetSoFar(jobWith(8, 3, answers), atLeast);
    expect({ examined, found, needed }).toEqual({ examined: 3, found: 1, needed: 2 });
  });

  // A picture stored on its side (EXIF Orientation 6) is shown turned clockwise by a quarter.
  test("corners are named as the phone shows them", () => {
    const lying = sheetSoFar(jobWith(1, 1, [oneCorner(1)]), atLeast);
    const upright = sheetSoFar(jobWith(1, 1, [oneCorner(6)]), atLeast);
    expect(lying.missingCorners).not.toContain("top left");
    expect(upright.missingCorners).not.toContain("top right");
    expect(lying.missingCorners.length).toBe(3);
    expect(upright.missingCorners.length).toBe(3);
  });
});

/** A photo with all of the sheet's points close to the top left corner as stored. */
function oneCorner(orientation: number): PhotoOutcome {
  const first = sheet[0];
  if (!first.ok) throw new Error("The sample's first sheet photo must be readable.");
  const { findings } = first;
  const boards = findings.boards.map((board) => ({
    ...board,
    pixels: Float64Array.from({ length: 40 }, (_, i) => 20 + i),
  }));
  const exif = { ...findings.exif, orientation } as typeof findings.exif;
  return { ok: true, findings: { ...findings, exif, boards } };
}

describe("the camera stage", () => {
  const record = jobRecordSchema.parse({
    ...inventedJob(),
    camera: { source: "sheet photos", profileId: null },
  });
  const stateWith = (count: number, examined: number): JobState => {
    const part = jobWith(count, examined);
    const guidance = guideCamera(sheet.slice(0, examined));
    return {
      ...{
        record,
        keptSteps: new Map(),
        revisions: [],
        result: null,
        failure: null,
        profile: null,
        otherLenses: [],
        ...part,
      },
      camera: { inputs: "x", answer: { ok: true, camera: { profile: { photos: examined } } } },
      guidance: { inputs: "x", guidance },
    } as unknown as JobState;
  };
  const camera = (state: JobState) => {
    const status = stageStatuses(state).find(({ stage }) => stage === "camera");
    if (!status) throw new Error("There must be a camera stage.");
    return status;
  };

  test("is finished only when no more sheet photos are asked for", () => {
    const asking = camera(stateWith(6, 6));
    expect(asking).toMatchObject({ done: false, text: "status.cameraMore" });
    expect(isFinished(asking)).toBe(false);
    expect(isFinished(camera(stateWith(12, 12)))).toBe(true);
  });

  test("is not finished before the advice on its photos is there", () => {
    expect(isFinished(camera({ ...stateWith(12, 12), guidance: null }))).toBe(false);
  });

  test("is not finished while sheet photos are being examined", () => {
    expect(isFinished(camera(stateWith(12, 8)))).toBe(false);
  });
});
