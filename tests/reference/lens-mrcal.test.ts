/**
 * The camera step's adjustment against Debian's mrcal (python3-mrcal) on the same detections: lens,
 * residuals of photos that were left out, and how sure it is where a point of the scene is seen.
 */
import { execFileSync, spawnSync } from "node:child_process";
import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import type { Quantity } from "../../src/adjust/problem/problem.ts";
import { propagate } from "../../src/adjust/propagate/propagate.ts";
import { sheetColumns, sheetRows } from "../../src/boards/sheet.ts";
import type { SheetPhoto } from "../../src/calibrate/camera-step.ts";
import { fitSheet, type SheetFit } from "../../src/calibrate/estimate/fit.ts";
import { startLens } from "../../src/lens/initial-lens.ts";
import { type Lens, lensOrder, lensToVector, project } from "../../src/lens/lens.ts";
import { compose, invert, transform, type Vec3 } from "../../src/maths/pose.ts";
import { nodePool } from "../../workers/node/node-pool.ts";
import { ensureDebian } from "../tools/debian.ts";
import { chessboardSettings } from "../unit/calibrate/chessboard.ts";
import {
  chance,
  goodPlaces,
  inventPhone,
  photographAll,
} from "../unit/calibrate/simulated-phone.ts";

const python = "/usr/bin/python3";
const script = fileURLToPath(new URL("lens_mrcal.py", import.meta.url));
const sheetFolder = fileURLToPath(new URL("../../sample-images/demo-job/camera/", import.meta.url));
const sigmaPx = 0.1;
let folder = "";

beforeAll(() => {
  ensureDebian(
    () => spawnSync(python, ["-c", "import mrcal.projections, cv2"]).status === 0,
    ["python3-mrcal", "python3-opencv"],
    "The comparison of the camera step with Debian's mrcal",
  );
  folder = mkdtempSync(join(tmpdir(), "mrcal-"));
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

interface Answer {
  /** fx fy cx cy k1 k2 p1 p2 k3, as here. */
  readonly lens: readonly number[];
  readonly rms: number;
  readonly halfLens: readonly number[];
  readonly halfRms: number;
  readonly leftOut: number;
  /** xx, xy, yx, yy of each point, px^2. */
  readonly covariances: readonly (readonly number[])[];
}

const alike = (photos: readonly SheetPhoto[]): SheetPhoto[] =>
  photos.map((photo) => ({
    ...photo,
    view: { ...photo.view, noise: { kind: "isotropic", sigmaPx } },
  }));

/** The sheet's markers stand in every other square: a grid with gaps of weight 0. */
const gridOf = ({ view: { boardPoints, pixels } }: SheetPhoto): number[] => {
  const grid = Array.from({ length: sheetColumns * sheetRows }, () => [0, 0, -1]);
  for (let i = 0; i < boardPoints.length; i += 2) {
    const column = boardPoints[i] + sheetColumns / 2 - 0.5;
    const row = sheetRows / 2 - 0.5 - boardPoints[i + 1];
    grid[row * sheetColumns + column] = [pixels[i], pixels[i + 1], 1];
  }
  return grid.flat();
};

const fitted = (photos: readonly SheetPhoto[], lens: Lens, held = false): SheetFit => {
  const settings = { ...chessboardSettings(lens), fixedAspect: false, squareMm: 1 };
  const free = settings.free.map((one) => one && !held);
  const fit = fitSheet(photos, { ...settings, free }, { robust: false });
  if (!fit) throw new Error("the sheet photos have a solution");
  return fit;
};

/**
 * Where a point of the scene is seen, by the lens and by all photos of the sheet: it keeps its place
 * in each photo's sheet, and the mean of where these put it in the camera's frame is projected.
 */
const seenBy = (fit: SheetFit, photos: readonly SheetPhoto[], point: Vec3): Quantity[] => {
  const inSheet = fit.photos.map(({ cameraFromSheet }) =>
    transform(invert(cameraFromSheet), point),
  );
  return [0, 1].map((axis) => ({
    key: `${point} ${axis}`,
    evaluate: (state) => {
      const mean: [number, number, number] = [0, 0, 0];
      photos.forEach(({ photo }, i) => {
        const cameraFromSheet = compose(state.photoPose(photo), state.pose("sheet"));
        transform(cameraFromSheet, inSheet[i]).forEach((x, k) => {
          mean[k] += x / photos.length;
        });
      });
      const pixel = project(state.lens("camera"), mean);
      if (!pixel) throw new Error("the point lies in front");
      return pixel[axis];
    },
  }));
};

const compare = (given: readonly SheetPhoto[]): void => {
  const photos = alike(given);
  const { width, height } = photos[0];
  const views = photos.map(({ view }) => view);
  const start = startLens(views, null, width, height).lens;
  const fit = fitted(photos, start);
  const points = [-0.5, 0, 0.5].flatMap((x) =>
    [-0.4, 0, 0.4].map((y): Vec3 => [25 * x, 25 * y, 25]),
  );
  const file = join(folder, "task.json");
  writeFileSync(
    file,
    JSON.stringify({
      width,
      height,
      columns: sheetColumns,
      rows: sheetRows,
      focal: 0.75 * width,
      sigma: sigmaPx,
      views: photos.map(gridOf),
      points,
    }),
  );
  const run = execFileSync(python, [script, file], { encoding: "utf8", maxBuffer: 1e8 });
  const native: Answer = JSON.parse(run);

  for (const [i, value] of lensToVector(fit.lens).entries()) {
    const sd = Math.sqrt(fit.lensCovariance[10 * i]);
    expect(Math.abs(value - native.lens[i]) / sd, lensOrder[i]).toBeLessThan(0.01);
  }
  expect(fit.residualPx / native.rms).toBeCloseTo(1, 5);

  const half = photos.filter((_, i) => i % 2 === 0);
  const others = photos.filter((_, i) => i % 2 === 1);
  const fromHalf = fitted(half, start);
  expect(fromHalf.residualPx / native.halfRms).toBeCloseTo(1, 4);
  const leftOut = fitted(others, fromHalf.lens, true).residualPx;
  expect(leftOut / native.leftOut).toBeCloseTo(1, 4);
  expect(leftOut).toBeGreaterThan(fit.residualPx);

  const quantities = points.flatMap((point) => seenBy(fit, photos, point));
  const { covariance } = propagate(fit.internals.propagator, quantities);
  const m = quantities.length;
  points.forEach((_, k) => {
    const [xx, xy, , yy] = native.covariances[k];
    const at = 2 * k;
    expect(covariance[at * m + at] / xx).toBeCloseTo(1, 2);
    expect(covariance[(at + 1) * m + at + 1] / yy).toBeCloseTo(1, 2);
    expect(Math.abs(covariance[at * m + at + 1] - xy) / Math.sqrt(xx * yy)).toBeLessThan(0.01);
  });
};

describe("the same detections in mrcal and here: lens, left-out photos, projection uncertainty", () => {
  it("of a simulated phone", () => {
    const r = chance(4);
    const phone = { ...inventPhone(r), focalSd: 0, shiftSdPx: 0 };
    compare(photographAll(phone, goodPlaces(14, r), sigmaPx, r));
  });

  it("of the sample sheet photos", async () => {
    const names = readdirSync(sheetFolder).filter((name) => name.endsWith(".jpg"));
    expect(names.length).toBeGreaterThanOrEqual(10);
    const pool = nodePool(2);
    try {
      const outcomes = await Promise.all(
        names.map((name) => {
          const bytes = readFileSync(join(sheetFolder, name));
          return pool.examine({ name, bytes, what: "sheet", lens: null });
        }),
      );
      compare(
        outcomes.map((outcome): SheetPhoto => {
          if (!outcome.ok) throw new Error(outcome.remark.message);
          const { name, width, height, exif, boards } = outcome.findings;
          return { photo: name, width, height, exif, view: boards[0] };
        }),
      );
    } finally {
      pool.close();
    }
  });
});
