/**
 * Lens models on photos left out: Brown with the smooth remainder against Debian's OpenCV (Brown,
 * rational, rational with thin prism) on the same detections of simulated phones whose lens no
 * model follows exactly. The pose alone is fitted to the photos left out, by OpenCV for all.
 */
import { execFileSync, spawnSync } from "node:child_process";
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { sheetId } from "../../src/boards/sheet.ts";
import { calibrateCamera, type SheetPhoto } from "../../src/calibrate/camera-step.ts";
import { withoutRemainder } from "../../src/lens/remainder.ts";
import { tracedViews } from "../bench/phone/traced.ts";
import { ensureDebian } from "../tools/debian.ts";
import { drawSession } from "../tools/phone/session.ts";

const python = "/usr/bin/python3";
const script = fileURLToPath(new URL("lens_native.py", import.meta.url));
const trained = 12;
const phones = [1, 2, 3, 4, 5, 6];
let folder = "";

beforeAll(() => {
  ensureDebian(
    () => spawnSync(python, ["-c", "import cv2"]).status === 0,
    ["python3-opencv"],
    "The comparison of lens models with Debian's OpenCV",
  );
  folder = mkdtempSync(join(tmpdir(), "lens-"));
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const ask = <T>(what: "fit" | "pose", task: object): T => {
  const file = join(folder, "task.json");
  writeFileSync(file, JSON.stringify(task));
  return JSON.parse(execFileSync(python, [script, what, file], { encoding: "utf8" }));
};

/** Sheet photos of one phone, all focused alike, held still, of a flat and unstretched sheet. */
const sheetPhotos = (seed: number): SheetPhoto[] => {
  const session = drawSession(seed, {
    sheetPhotos: trained + 7,
    bumpMm: 0,
    without: ["motion", "stretch", "bend", "focus"],
  });
  const state = { focusMm: 400, focalError: 0, rest: [0, 0] as const };
  const sheet = session.sheet.map((shot) => ({ ...shot, state }));
  return tracedViews({ ...session, sheet, photos: [], after: [] })
    .sheet()
    .flatMap((outcome) => {
      if (!outcome.ok) return [];
      const { name, width, height, exif, boards } = outcome.findings;
      const view = boards.find(({ id }) => id === sheetId);
      return view ? [{ photo: name, width, height, exif, view }] : [];
    });
};

const plain = ({ view }: SheetPhoto, pixels = view.pixels) => ({
  board: [...view.boardPoints],
  pixels: [...pixels],
});

const compareOn = (seed: number) => {
  const photos = sheetPhotos(seed);
  const { width, height } = photos[0];
  const [given, left] = [photos.slice(0, trained), photos.slice(trained)];
  const native = ask<Record<string, number>>("fit", {
    width,
    height,
    views: given.map((photo) => plain(photo)),
    left: left.map((photo) => plain(photo)),
  });
  const outcome = calibrateCamera(given, {
    flat: true,
    photoChanges: false,
    heldOut: false,
    effect: false,
    fullModel: true,
    keepOutliers: true,
  });
  if (!outcome.ok) throw new Error(outcome.remarks[0].message);
  const { lens, remainder } = outcome.profile;
  const ours = ask<number>("pose", {
    lens,
    left: left.map((photo) =>
      plain(
        photo,
        remainder ? withoutRemainder(remainder, photo, photo, photo.view.pixels) : undefined,
      ),
    ),
  });
  return { seed, ...native, ours, remainder: remainder !== undefined };
};

describe("Brown with the smooth remainder", () => {
  it("misses photos left out by less than OpenCV's richer models do", () => {
    const rows = phones.map(compareOn);
    const over = (of: (row: (typeof rows)[number]) => number): number =>
      Math.sqrt(rows.reduce((sum, row) => sum + of(row) ** 2, 0) / rows.length);
    const native = (name: string) =>
      over((row) => (row as unknown as Record<string, number>)[name]);
    const ours = over(({ ours }) => ours);
    console.log("px on photos left out", {
      brown: native("brown"),
      rational: native("rational"),
      prism: native("rational and prism"),
      ours,
    });
    expect(ours).toBeLessThan(native("brown"));
    expect(ours).toBeLessThan(native("rational"));
    expect(ours).toBeLessThan(native("rational and prism"));
  });
});
