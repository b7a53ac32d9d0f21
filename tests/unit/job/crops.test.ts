/** Crops of the sample job's photos: in the shape of the original, so that no size gives them away. */
import { describe, expect, test } from "vitest";
import type { PhotoOutcome } from "../../../src/detect/findings/findings.ts";
import { learnCamera } from "../../../src/job/run/learn-camera.ts";
import { solveJob } from "../../../src/job/solve/solve.ts";
import { sampleJob, simulateSample } from "../../tools/simulated-job.ts";

const { sheet, photos } = simulateSample();
const learned = learnCamera(sheet, "2026-01-01");

const solve = (outcomes: readonly PhotoOutcome[], after: readonly string[] = []) => {
  if (!learned.ok) throw new Error("the sheet photos must give a lens");
  const { camera } = learned;
  const job = { ...sampleJob(), ...(after.length > 0 && { after: { photos: [...after] } }) };
  return solveJob({ job, camera, outcomes, measuredAt: "2026-01-01T00:00:00Z" });
};

type ExifFate = "kept" | "rewritten" | "stripped";

interface Crop {
  readonly share: number;
  readonly exif: ExifFate;
  /** Place of the crop, 0..1 across and down. */
  readonly at?: readonly [number, number];
  /** Enlarged again to the size of the original. */
  readonly enlarged?: boolean;
}

/** Photos as an editor's crop tool leaves them; boards cut by the crop are not found any more. */
const cropped = (
  { share, exif, at = [0.5, 0.5], enlarged = false }: Crop,
  which = (_: number) => true,
): PhotoOutcome[] =>
  photos.map((outcome, i) => {
    if (!outcome.ok || !which(i)) return outcome;
    const { findings } = outcome;
    const [width, height] = [4032 * share, 3024 * share];
    const [left, top] = [Math.round((4032 - width) * at[0]), Math.round((3024 - height) * at[1])];
    const zoom = enlarged ? 1 / share : 1;
    const boards = findings.boards.flatMap((view) => {
      const pixels = view.pixels.map((p, k) => (p - (k % 2 ? top : left) + 0.5) * zoom - 0.5);
      const inside = pixels.every((p, k) => p > 5 && p < (k % 2 ? height : width) * zoom - 6);
      return inside ? [{ ...view, pixels }] : [];
    });
    const facts = { kept: findings.exif, stripped: null }[exif as "kept" | "stripped"];
    const rewritten = findings.exif && { ...findings.exif, exifWidth: width, exifHeight: height };
    return {
      ok: true,
      findings: {
        ...findings,
        width: width * zoom,
        height: height * zoom,
        exif: exif === "rewritten" ? rewritten : facts,
        boards,
      },
    };
  });

const remarksOf = (answer: ReturnType<typeof solve>) =>
  (answer.ok ? answer.result.remarks : answer.remarks).map(({ code, message }) => ({
    code,
    message,
  }));

describe("crops in the shape of the original", () => {
  test.each([
    { share: 0.875, exif: "kept" },
    { share: 0.875, exif: "rewritten" },
    { share: 0.875, exif: "stripped" },
    { share: 0.75, exif: "kept", at: [0.3, 0.6] },
  ] as Crop[])("all photos, share $share, EXIF $exif: refused as crops", (crop) => {
    const answer = solve(cropped(crop));
    expect(answer.ok).toBe(false);
    const [first] = remarksOf(answer);
    expect(first.code).toBe("photos-cropped");
    expect(first.message).toContain("bay-01.jpg");
  });

  test("cut in half: too few boards are left, and the remarks still name a crop", () => {
    const answer = solve(cropped({ share: 0.5, exif: "kept" }));
    expect(answer.ok).toBe(false);
    expect(remarksOf(answer).some(({ message }) => message.includes("cropped"))).toBe(true);
  });

  test("three photos: left out by name, and the answer is that of the others", () => {
    const three = (i: number) => i < 3;
    const answer = solve(cropped({ share: 0.75, exif: "kept" }, three));
    if (!answer.ok) throw new Error("the other photos must do");
    const crop = answer.result.remarks.find(({ code }) => code === "photos-cropped");
    for (const name of ["bay-01.jpg", "bay-02.jpg", "bay-03.jpg"])
      expect(crop?.message).toContain(name);
    expect(crop?.message).not.toContain("bay-04.jpg");
    const without = solve(photos.slice(3));
    if (!without.ok) throw new Error("the other photos must do");
    const values = (result: typeof answer.result) => result.checks.map(({ measured }) => measured);
    expect(values(answer.result)).toEqual(values(without.result));
    expect(values(answer.result).length).toBeGreaterThan(3);
  });

  test("photos after the run: nothing is said about movement, and the crop is named", () => {
    const later = cropped({ share: 0.875, exif: "kept" }).flatMap((outcome) =>
      outcome.ok
        ? [
            {
              ...outcome,
              findings: { ...outcome.findings, name: `after-${outcome.findings.name}` },
            },
          ]
        : [],
    );
    const names = later.map(({ findings }) => findings.name);
    const answer = solve([...photos, ...later], names);
    if (!answer.ok) throw new Error("the photos before the run must do");
    expect(answer.result.stability?.verdict).toBe("not proven");
    expect(answer.result.stability?.sentence).toContain("after-bay-01.jpg");
    expect(answer.result.stability?.sentence).toContain("cropped");
  });

  test("enlarged again to the size of the original: a warning that names a crop", () => {
    const answer = solve(cropped({ share: 0.9375, exif: "kept", enlarged: true }));
    const remark = remarksOf(answer).find(({ code }) => code === "profile-disagrees-zoomed");
    expect(remark?.message).toContain("crop");
  });

  test("smaller copies of whole photos are used, and no crop is alleged", () => {
    const share = 0.5;
    const copies = photos.map((outcome): PhotoOutcome => {
      if (!outcome.ok) return outcome;
      const { findings } = outcome;
      const boards = findings.boards.map((view) => ({
        ...view,
        pixels: view.pixels.map((p) => (p + 0.5) * share - 0.5),
      }));
      return { ok: true, findings: { ...findings, width: 2016, height: 1512, boards } };
    });
    const answer = solve(copies);
    if (!answer.ok) throw new Error("smaller copies must do");
    const codes = new Set(answer.result.remarks.map(({ code }) => code));
    expect(codes.has("photo-resized")).toBe(true);
    for (const code of ["photos-cropped", "profile-disagrees", "profile-disagrees-zoomed"])
      expect(codes.has(code)).toBe(false);
  });
});
