/** The same picture twice: whole, made smaller by a messenger, or in another set-up. */
import { describe, expect, test } from "vitest";
import type { PhotoOutcome } from "../../../src/detection/findings.ts";
import { buildBay } from "../../../src/job/build-problem.ts";
import { learnCamera } from "../../../src/job/learn-camera.ts";
import { withoutTwins } from "../../../src/job/twin-photos.ts";
import { sampleJob, simulateSample } from "../../tools/simulated-job.ts";

const { sheet, photos } = simulateSample();
const oneGroup = () => "";

/** A copy under another name, `factor` times as large, its points off by up to `noisePx`. */
function copyOf(photo: PhotoOutcome, name: string, factor = 1, noisePx = 0): PhotoOutcome {
  if (!photo.ok) throw new Error("The sample's photos must be readable.");
  const { findings } = photo;
  let turn = 1;
  const scaled = (points: Float64Array) =>
    points.map((value) => {
      turn = -turn;
      return (value + 0.5) * factor - 0.5 + turn * noisePx;
    });
  const boards = findings.boards.map((board) => ({
    ...board,
    pixels: scaled(board.pixels),
  }));
  const [width, height] = [findings.width * factor, findings.height * factor];
  return { ok: true, findings: { ...findings, name, width, height, boards } };
}

const names = (outcomes: readonly PhotoOutcome[]) =>
  outcomes.map((outcome) => (outcome.ok ? outcome.findings.name : outcome.name));

describe("the same picture twice", () => {
  test("no photo of the sample is a twin of another", () => {
    const { kept, remarks } = withoutTwins(photos, oneGroup);
    expect(kept.length).toBe(photos.length);
    expect(remarks).toEqual([]);
  });

  test("a copy is left out and both are named", () => {
    const { kept, remarks } = withoutTwins([...photos, copyOf(photos[3], "again.jpg")], oneGroup);
    expect(names(kept)).toEqual(names(photos));
    expect(remarks.map(({ code, about }) => [code, about])).toEqual([["photo-twin", "again.jpg"]]);
    expect(remarks[0].message).toContain(names(photos)[3]);
  });

  test("of a smaller copy with its own errors the original stays, whichever came first", () => {
    const small = copyOf(photos[3], "small.jpg", 0.4, 0.05);
    const { kept, remarks } = withoutTwins([small, ...photos], oneGroup);
    expect(names(kept)).toEqual(names(photos));
    expect(remarks.map(({ about }) => about)).toEqual(["small.jpg"]);
  });

  test("a step aside is another photo; so is the same view in another set-up", () => {
    const aside = copyOf(photos[3], "aside.jpg", 1, 4);
    expect(withoutTwins([...photos, aside], oneGroup).remarks).toEqual([]);
    const copy = copyOf(photos[3], "moved.jpg");
    const group = (name: string) => (name === "moved.jpg" ? "set-up 2" : "");
    expect(withoutTwins([...photos, copy], group).remarks).toEqual([]);
  });

  test("a job with a copy is the job without it", () => {
    const learned = learnCamera(sheet, "2026-01-01");
    if (!learned.ok) throw new Error("The sample's sheet photos must give a lens.");
    const built = (outcomes: readonly PhotoOutcome[]) => {
      const bay = buildBay(sampleJob(), learned.camera, outcomes);
      if (!bay.ok) throw new Error("The sample must give a bay.");
      return bay.bay;
    };
    const [plain, doubled] = [built(photos), built([...photos, copyOf(photos[0], "again.jpg")])];
    expect(doubled.problem.observations.length).toBe(plain.problem.observations.length);
    expect(doubled.remarks.some(({ code }) => code === "photo-twin")).toBe(true);
  });
});
