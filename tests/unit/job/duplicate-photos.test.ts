/** The same picture twice: whole, made smaller by a messenger, or in another set-up. */
import { describe, expect, test } from "vitest";
import type { PhotoOutcome } from "../../../src/detect/findings/findings.ts";
import {
  oneGroup,
  type PhotoGroup,
  withoutDuplicates,
} from "../../../src/job/problem/duplicate-photos.ts";
import { learnCamera } from "../../../src/job/run/learn-camera.ts";
import { solveJob } from "../../../src/job/solve/solve.ts";
import { sampleJob, simulateSample } from "../../tools/simulated-job.ts";

const { sheet, photos } = simulateSample();
const together = () => oneGroup;

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
    const { kept, remarks } = withoutDuplicates(photos, together);
    expect(kept.length).toBe(photos.length);
    expect(remarks).toEqual([]);
  });

  test("a copy is left out and both are named", () => {
    const { kept, remarks } = withoutDuplicates(
      [...photos, copyOf(photos[3], "again.jpg")],
      together,
    );
    expect(names(kept)).toEqual(names(photos));
    expect(remarks.map(({ code, about }) => [code, about])).toEqual([["photo-twin", "again.jpg"]]);
    expect(remarks[0].message).toContain(names(photos)[3]);
  });

  test("of a smaller copy with its own errors the original stays, whichever came first", () => {
    const small = copyOf(photos[3], "small.jpg", 0.4, 0.05);
    const { kept, remarks } = withoutDuplicates([small, ...photos], together);
    expect(names(kept)).toEqual(names(photos));
    expect(remarks.map(({ about }) => about)).toEqual(["small.jpg"]);
  });

  test("a step aside is another photo", () => {
    const aside = copyOf(photos[3], "aside.jpg", 1, 4);
    expect(withoutDuplicates([...photos, aside], together).remarks).toEqual([]);
  });
});

const learned = learnCamera(sheet, "2026-01-01");
const solve = (outcomes: readonly PhotoOutcome[], after: readonly string[] = []) => {
  if (!learned.ok) throw new Error("The sample's sheet photos must give a lens.");
  const job = { ...sampleJob(), ...(after.length > 0 && { after: { photos: [...after] } }) };
  const { camera } = learned;
  const answer = solveJob({ job, camera, outcomes, measuredAt: "2026-01-01T00:00:00Z" });
  if (!answer.ok) throw new Error(answer.remarks.map(({ message }) => message).join("\n"));
  return answer.result;
};

test("a job with a copy is the job without it", () => {
  const [plain, doubled] = [solve(photos), solve([...photos, copyOf(photos[0], "again.jpg")])];
  expect(doubled.checks).toEqual(plain.checks);
  expect(doubled.network).toEqual(plain.network);
  expect(doubled.remarks.some(({ code }) => code === "photo-twin")).toBe(true);
  expect(doubled.photos.find(({ name }) => name === "again.jpg")?.used).toBe(false);
});

/** The same photo as the phone would take it again from a tripod, a minute later. */
const takenAgain = (photo: PhotoOutcome): PhotoOutcome => {
  if (!photo.ok || !photo.findings.exif) throw new Error("The sample's photos carry EXIF.");
  const exif = { ...photo.findings.exif, takenAt: "2026-01-01T00:01:30" };
  return { ok: true, findings: { ...photo.findings, exif } };
};
const stripped = (photo: PhotoOutcome): PhotoOutcome =>
  photo.ok ? { ok: true, findings: { ...photo.findings, exif: null } } : photo;

describe("a copy in another group", () => {
  const small = copyOf(photos[3], "small.jpg", 0.4, 0.05);
  const groups: [string, Partial<PhotoGroup>][] = [
    ["after", { after: true }],
    ["set-up", { setup: 1 }],
    ["position", { position: 1 }],
  ];

  test.each(groups)("(%s) is named with what it repeats, and is not counted", (where, group) => {
    const groupOf = (name: string) => ({ ...oneGroup, ...(name === "small.jpg" && group) });
    for (const copy of [small, stripped(small)]) {
      // The copy comes first in the list: what was taken earlier stays all the same.
      const { kept, remarks } = withoutDuplicates([copy, ...photos], groupOf);
      expect(names(kept)).toEqual(names(photos));
      expect(remarks.map(({ code, values }) => [code, values])).toEqual([
        ["photo-repeated", { photo: "small.jpg", twin: names(photos)[3], where }],
      ]);
      expect(remarks[0].message).toContain(`repeats ${names(photos)[3]}`);
    }
  });

  test("is no copy where the camera's clock says that it was taken again", () => {
    const groupOf = (name: string) => ({ ...oneGroup, after: name === "small.jpg" });
    expect(withoutDuplicates([...photos, takenAgain(small)], groupOf).remarks).toEqual([]);
    // In one group a second photo from a tripod adds nothing.
    expect(withoutDuplicates([...photos, takenAgain(small)], together).remarks.length).toBe(1);
  });

  test("proves nothing about the time after the run", () => {
    const copies = photos.map((photo, i) => stripped(copyOf(photo, `after-${i}.jpg`, 0.4, 0.05)));
    const { stability, remarks } = solve([...photos, ...copies], names(copies));
    expect(stability?.verdict).toBe("not proven");
    expect(remarks.filter(({ code }) => code === "photo-repeated").length).toBe(copies.length);
  });
});
