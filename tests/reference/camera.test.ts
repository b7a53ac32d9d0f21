/**
 * The camera step's adjustment against Debian's own OpenCV (python3-opencv, opencv-doc):
 * same detections, same model (no change from photo to photo, flat board, no priors), so that lens,
 * residual and standard deviations must agree.
 */
import { execFileSync, spawnSync } from "node:child_process";
import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { sheetId } from "../../src/boards/sheet.ts";
import { calibrateFromFindings, type SheetPhoto } from "../../src/calibrate/camera-step.ts";
import { fitSheet } from "../../src/calibrate/estimate/fit.ts";
import type { PhotoOutcome } from "../../src/detect/findings/findings.ts";
import { startLens } from "../../src/lens/initial-lens.ts";
import { type Lens, lensOrder, lensToVector } from "../../src/lens/lens.ts";
import { invertPositive } from "../../src/maths/dense.ts";
import { chiSquareQuantile } from "../../src/maths/statistics.ts";
import { nodePool } from "../../workers/node/node-pool.ts";
import { ensureDebian } from "../tools/debian.ts";
import { chessboardPhotos, chessboardSettings } from "../unit/calibrate/chessboard.ts";
import {
  chance,
  goodPlaces,
  inventPhone,
  photographAll,
} from "../unit/calibrate/simulated-phone.ts";

const python = "/usr/bin/python3";
const script = fileURLToPath(new URL("camera_native.py", import.meta.url));
const chessboardFile = new URL("../unit/calibrate/left-corners.json", import.meta.url);
const sheetFolder = fileURLToPath(new URL("../../sample-images/demo-job/camera/", import.meta.url));
const truthFile = new URL("../../sample-images/demo-job/truth.json", import.meta.url);
let folder = "";

beforeAll(() => {
  ensureDebian(
    () =>
      spawnSync(python, ["-c", "import cv2.aruco"]).status === 0 &&
      existsSync("/usr/share/doc/opencv-doc/examples/data/left01.jpg"),
    ["python3-opencv", "opencv-doc"],
    "The comparison of the camera step with Debian's OpenCV",
  );
  folder = mkdtempSync(join(tmpdir(), "camera-"));
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const ask = <T>(...args: string[]): T =>
  JSON.parse(execFileSync(python, [script, ...args], { encoding: "utf8", maxBuffer: 1e8 }));

interface Native {
  readonly rms: number;
  readonly lens: Lens;
  readonly sd: Lens;
  readonly perView: readonly number[];
}

/** OpenCV takes single-precision pixels; both sides get the same. */
const single = (photos: readonly SheetPhoto[]): SheetPhoto[] =>
  photos.map((photo) => ({
    ...photo,
    view: {
      ...photo.view,
      noise: { kind: "isotropic", sigmaPx: 0.1 },
      pixels: photo.view.pixels.map(Math.fround),
    },
  }));

const compare = (given: readonly SheetPhoto[], fixedAspect: boolean): number => {
  const photos = single(given);
  const { width, height } = photos[0];
  const file = join(folder, "task.json");
  const views = photos.map(({ view }) => ({
    board: [...view.boardPoints],
    pixels: [...view.pixels],
  }));
  writeFileSync(file, JSON.stringify({ width, height, fixedAspect, views }));
  const native = ask<Native>("calibrate", file);
  const start = startLens(
    photos.map(({ view }) => view),
    null,
    width,
    height,
  );
  const fit = fitSheet(
    photos,
    { ...chessboardSettings(start.lens), fixedAspect, squareMm: 1 },
    { robust: false },
  )!;
  expect(Math.abs(fit.residualPx * Math.SQRT2 - native.rms)).toBeLessThan(1e-7);
  // OpenCV 4.6 scales its deviations by the squared error over (points - parameters), where the
  // count of observations is twice the points; seen here, and undone before comparing.
  const points = photos.reduce((sum, { view }) => sum + view.pixels.length / 2, 0);
  const parameters = 6 * photos.length + (fixedAspect ? 8 : 9);
  expect(fit.redundancy).toBe(2 * points - parameters);
  const factor = Math.sqrt(fit.cost / (points - parameters));
  let compared = 0;
  for (const [i, name] of lensOrder.entries()) {
    // OpenCV states fx's deviation as zero where it is tied to fy.
    const sd = factor * Math.sqrt(fit.lensCovariance[10 * i]);
    if (!(fixedAspect && name === "fx"))
      expect(Math.abs(native.sd[name] / sd - 1), `sd of ${name}`).toBeLessThan(1e-3);
    expect(Math.abs(fit.lens[name] - native.lens[name]) / sd, name).toBeLessThan(1e-3);
    compared++;
  }
  for (const [i, px] of native.perView.entries())
    expect(Math.abs(fit.photos[i].residualPx * Math.SQRT2 - px)).toBeLessThan(1e-6);
  return compared;
};

describe("the same detections in OpenCV and here", () => {
  it("finds the chessboard corners again that the unit test reads", () => {
    const again = ask<{ photos: { name: string; pixels: number[] }[] }>("left");
    const kept = JSON.parse(readFileSync(chessboardFile, "utf8")) as typeof again;
    expect(again.photos.map(({ name }) => name)).toEqual(kept.photos.map(({ name }) => name));
    let compared = 0;
    for (const [k, { pixels }] of again.photos.entries())
      for (const [i, value] of pixels.entries()) {
        expect(Math.abs(value - kept.photos[k].pixels[i])).toBeLessThan(1e-3);
        compared++;
      }
    expect(compared).toBe(13 * 108);
  });

  it("gives one lens and one set of deviations for the chessboard, fx = fy tied", () => {
    expect(compare(chessboardPhotos(), true)).toBe(9);
  });

  it("gives one lens and one set of deviations for the chessboard, fx and fy free", () => {
    expect(compare(chessboardPhotos(), false)).toBe(9);
  });

  it("gives one lens and one set of deviations for simulated sheet photos", () => {
    const r = chance(4);
    const phone = { ...inventPhone(r), focalSd: 0, shiftSdPx: 0 };
    expect(compare(photographAll(phone, goodPlaces(14, r), 0.05, r), false)).toBe(9);
  });

  describe("the sample sheet photos, rendered by Blender", () => {
    let outcomes: PhotoOutcome[] = [];
    beforeAll(async () => {
      const names = readdirSync(sheetFolder).filter((name) => name.endsWith(".jpg"));
      expect(names.length).toBeGreaterThanOrEqual(10);
      const pool = nodePool(2);
      try {
        outcomes = await Promise.all(
          names.map((name) => {
            const bytes = readFileSync(join(sheetFolder, name));
            return pool.examine({ name, bytes, what: "sheet", lens: null });
          }),
        );
      } finally {
        pool.close();
      }
    });

    it("give one lens and one set of deviations", () => {
      const photos = outcomes.map((outcome): SheetPhoto => {
        if (!outcome.ok) throw new Error(outcome.remark.message);
        const { name, width, height, exif, boards } = outcome.findings;
        return { photo: name, width, height, exif, view: boards[0] };
      });
      expect(compare(photos, false)).toBe(9);
    });

    it("give the renderer's lens within the stated covariance", () => {
      const truth = JSON.parse(readFileSync(truthFile, "utf8")) as { lens: Lens };
      const outcome = calibrateFromFindings(outcomes, sheetId, { heldOut: false });
      if (!outcome.ok) throw new Error(outcome.remarks[0].message);
      const { lens, covariance, effectAt4mMm } = outcome.profile;
      const error = lensToVector(lens).map((value, i) => value - lensToVector(truth.lens)[i]);
      const inverse = invertPositive(Float64Array.from(covariance), 9)!;
      let squared = 0;
      for (let i = 0; i < 9; i++)
        for (let j = 0; j < 9; j++) squared += error[i] * inverse[9 * i + j] * error[j];
      console.log(`squared distance ${squared.toFixed(1)} (9 expected), ${effectAt4mMm} mm at 4 m`);
      expect(squared).toBeLessThan(chiSquareQuantile(0.999, 9));
    });
  });
});
