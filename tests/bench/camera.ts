/**
 * `npm run bench:camera [-- --phones 1000 --images 4]`
 *
 * Feature level: many invented phones, 14 good photos each; is the true lens inside the stated
 * covariance as often as promised, and what does the lens error do to a 4 m distance when the bay's
 * own boards, with their noise, help? Beside it, on the same features of some of the phones, native OpenCV.
 * Image level: photos rendered by camera_render.py; the project's finder and camera step against
 * native OpenCV's ChArUco corners and calibration on the same files. Needs Debian's python3-opencv;
 * without it those figures are null. The last line is one JSON object.
 */
import { spawnSync } from "node:child_process";
import { existsSync, mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { parseArgs } from "node:util";
import { sheetId } from "../../src/boards/sheet.ts";
import {
  calibrateCamera,
  calibrateFromFindings,
  type SheetPhoto,
} from "../../src/calibrate/camera-step.ts";
import { effectGeometry } from "../../src/calibrate/lens-effect/effect-geometry.ts";
import {
  effectOf,
  effectSd,
  type LensEffect,
} from "../../src/calibrate/lens-effect/lens-effect.ts";
import { type Lens, lensOrder, lensToVector } from "../../src/lens/lens.ts";
import { scaleLens } from "../../src/lens/scale.ts";
import { invertPositive, symmetricEigen } from "../../src/maths/dense.ts";
import { chiSquareQuantile } from "../../src/maths/statistics.ts";
import { nodePool } from "../../workers/node/node-pool.ts";
import {
  type Chance,
  chance,
  goodPlaces,
  inventPhone,
  photographAll,
  type SimulatedPhone,
  sheetPose,
} from "../unit/calibrate/simulated-phone.ts";

const photosPerPhone = 14;
/** On the sample's sheet photos the markers' centres were 0.007 px off; thrice that is simulated. */
const noisePx = 0.02;
const python = "/usr/bin/python3";
const native = fileURLToPath(new URL("../reference/camera_native.py", import.meta.url));
const renderer = fileURLToPath(new URL("./camera_render.py", import.meta.url));
const cache = fileURLToPath(new URL("../../.cache/bench-camera/", import.meta.url));

const { values: options } = parseArgs({
  options: {
    phones: { type: "string", default: "1000" },
    images: { type: "string", default: "4" },
  },
});

const runPython = (args: readonly string[]): string | null => {
  const run = spawnSync(python, args, { encoding: "utf8", maxBuffer: 1 << 28 });
  return run.status === 0 ? run.stdout : null;
};

const errorOf = (lens: Lens, phone: SimulatedPhone): Float64Array => {
  const truth = lensToVector(phone.lens);
  return lensToVector(lens).map((value, i) => value - truth[i]);
};

/** error^T C^-1 error. */
const distanceSquared = (covariance: readonly number[], error: Float64Array): number => {
  const inverse = invertPositive(Float64Array.from(covariance), 9);
  if (!inverse) return Number.POSITIVE_INFINITY;
  let sum = 0;
  for (let i = 0; i < 9; i++)
    for (let j = 0; j < 9; j++) sum += error[i] * inverse[9 * i + j] * error[j];
  return sum;
};

/** A draw of the bay's own noise, as seen from the lens: covariance S, by its eigenvectors. */
const bayNoise = ({ information }: LensEffect, r: Chance): Float64Array => {
  // Scaled to a correlation matrix first: the nine units differ by many powers of ten.
  const scale = lensOrder.map((_, i) => Math.sqrt(information[10 * i]));
  const { values, vectors } = symmetricEigen(
    information.map((v, at) => v / (scale[Math.floor(at / 9)] * scale[at % 9])),
    9,
  );
  const out = new Float64Array(9);
  for (let k = 0; k < 9; k++) {
    const along = r.normal(Math.sqrt(Math.max(values[k], 0)));
    for (let i = 0; i < 9; i++) out[i] += scale[i] * vectors[9 * i + k] * along;
  }
  return out;
};

/** Error, mm, at 4 m when a lens is held as it is and the bay may not improve it: g . error. */
const heldEffect = ({ gain }: LensEffect, error: Float64Array): number =>
  gain.reduce((sum, g, i) => sum + g * error[i], 0);

const rms = (values: readonly number[]): number =>
  Math.sqrt(values.reduce((sum, v) => sum + v * v, 0) / values.length);
const percentile = (values: readonly number[], share: number): number =>
  [...values].sort((a, b) => a - b)[Math.min(values.length - 1, Math.floor(share * values.length))];
const share = (count: number, of: number): string => `${((100 * count) / of).toFixed(1)} %`;

interface NativeResult {
  readonly rms: number;
  readonly lens: Lens;
}

const calibrateNatively = (phone: SimulatedPhone, photos: readonly SheetPhoto[]): Lens | null => {
  mkdirSync(cache, { recursive: true });
  const file = join(cache, "features.json");
  const views = photos.map(({ view }) => ({
    board: [...view.boardPoints],
    pixels: [...view.pixels],
  }));
  writeFileSync(file, JSON.stringify({ width: phone.width, height: phone.height, views }));
  const text = runPython([native, "calibrate", file]);
  return text === null ? null : (JSON.parse(text) as NativeResult).lens;
};

const featureLevel = (phones: number) => {
  const inside = new Array<number>(9).fill(0);
  const millimetres: number[] = [];
  const ours: number[] = [];
  const theirs: number[] = [];
  const models = new Map<string, number>();
  let joint = 0;
  let insideMm = 0;
  let solved = 0;
  const limit = chiSquareQuantile(0.95, 9);
  const start = performance.now();
  for (let seed = 0; seed < phones; seed++) {
    const r = chance(10_000 + seed);
    const phone = inventPhone(r);
    const photos = photographAll(phone, goodPlaces(photosPerPhone, r), noisePx, r);
    const outcome = calibrateCamera(photos, { heldOut: false, effect: false });
    if (!outcome.ok) {
      console.log(`phone ${seed}: ${outcome.remarks[0].message}`);
      continue;
    }
    solved++;
    const { profile, choice } = outcome;
    models.set(choice.model.name, (models.get(choice.model.name) ?? 0) + 1);
    const error = errorOf(profile.lens, phone);
    for (let i = 0; i < 9; i++)
      if (Math.abs(error[i]) <= 1.96 * Math.sqrt(profile.covariance[10 * i])) inside[i]++;
    if (distanceSquared(profile.covariance, error) <= limit) joint++;
    const effect = effectGeometry(phone.lens, phone.width, phone.height, profile.spread);
    if (!effect) continue;
    const mm = effectOf(effect, profile.covariance, error, bayNoise(effect, r))!;
    millimetres.push(Math.abs(mm));
    if (Math.abs(mm) <= 1.96 * effectSd(effect, profile.covariance)!) insideMm++;
    if (seed % Math.max(1, Math.floor(phones / 60)) === 0) {
      const lens = calibrateNatively(phone, photos);
      if (lens) {
        ours.push(heldEffect(effect, error));
        theirs.push(heldEffect(effect, errorOf(lens, phone)));
      }
    }
    if ((seed + 1) % 100 === 0)
      console.log(
        `${seed + 1} phones: joint ${share(joint, solved)}, 4 m ${share(insideMm, millimetres.length)}, p95 ${percentile(millimetres, 0.95).toFixed(3)} mm`,
      );
  }
  const seconds = (performance.now() - start) / 1000;
  console.log(`\n${solved} of ${phones} phones solved, ${(seconds / phones).toFixed(2)} s a phone`);
  console.log(`models: ${[...models].map(([name, n]) => `${name} ${n}`).join(", ")}`);
  for (const [i, name] of lensOrder.entries())
    console.log(`  true ${name} inside its 95 % interval: ${share(inside[i], solved)}`);
  console.log(`  all nine inside the joint 95 % region: ${share(joint, solved)}`);
  console.log(`  4 m effect inside its 95 % interval: ${share(insideMm, millimetres.length)}`);
  console.log(
    `  4 m effect: median ${percentile(millimetres, 0.5).toFixed(3)} mm, 95th percentile ${percentile(millimetres, 0.95).toFixed(3)} mm`,
  );
  if (theirs.length > 0)
    console.log(
      `  same features, lens held: ours ${rms(ours).toFixed(2)} mm, native ${rms(theirs).toFixed(2)} mm rms over ${theirs.length} phones, ratio ${(rms(ours) / rms(theirs)).toFixed(2)}`,
    );
  return { solved, joint: joint / solved, mm: percentile(millimetres, 0.95) };
};

/** Half the pixels each way, as a phone's smaller picture setting gives: renders four times faster. */
const smallPhone = (phone: SimulatedPhone): SimulatedPhone => ({
  ...phone,
  width: phone.width / 2,
  height: phone.height / 2,
  lens: scaleLens(phone.lens, 0.5),
  shiftSdPx: phone.shiftSdPx / 2,
});

const renderPhone = (seed: number): { phone: SimulatedPhone; files: string[] } | null => {
  const r = chance(seed);
  const phone = smallPhone(inventPhone(r));
  const folder = join(cache, `phone-${seed}`);
  mkdirSync(folder, { recursive: true });
  const photos = goodPlaces(photosPerPhone, r).map((place, i) => ({
    file: join(folder, `sheet-${String(i + 1).padStart(2, "0")}.jpg`),
    ...sheetPose(phone, place),
    focal: r.normal(phone.focalSd),
    shiftX: r.normal(phone.shiftSdPx),
    shiftY: r.normal(phone.shiftSdPx),
    seed: 100 * seed + i,
  }));
  const task = join(folder, "task.json");
  const { width, height, lens } = phone;
  const files = photos.map(({ file }) => file);
  const text = JSON.stringify({ width, height, lens, photos });
  const known =
    existsSync(task) &&
    readFileSync(task, "utf8") === text &&
    files.every((file) => existsSync(file));
  writeFileSync(task, text);
  if (!known && runPython([renderer, task]) === null) return null;
  return { phone, files };
};

const imageLevel = async (phones: number) => {
  const ours: number[] = [];
  const theirs: number[] = [];
  const pool = nodePool(2);
  try {
    for (let i = 0; i < phones; i++) {
      const rendered = renderPhone(7000 + i);
      if (!rendered) {
        console.log("no renders: Debian's python3-opencv is missing");
        return null;
      }
      const { phone, files } = rendered;
      const outcomes = await Promise.all(
        files.map((file) =>
          pool.examine({ name: file, bytes: readFileSync(file), what: "sheet", lens: null }),
        ),
      );
      const outcome = calibrateFromFindings(outcomes, sheetId, { heldOut: false, effect: false });
      const text = runPython([native, "photos", ...files]);
      const effect = effectGeometry(phone.lens, phone.width, phone.height, phone);
      if (!outcome.ok || !text || !effect) {
        console.log(
          `rendered phone ${i}: ${outcome.ok ? "no comparison" : outcome.remarks[0].message}`,
        );
        continue;
      }
      const { calibration } = JSON.parse(text) as { calibration: NativeResult };
      const { profile } = outcome;
      const error = errorOf(profile.lens, phone);
      ours.push(heldEffect(effect, error));
      theirs.push(heldEffect(effect, errorOf(calibration.lens, phone)));
      console.log(
        `rendered phone ${i}: ours ${ours[ours.length - 1].toFixed(2)} mm (residual ${profile.residualPx.toFixed(3)} px, distance ${Math.sqrt(distanceSquared(profile.covariance, error)).toFixed(1)}; 3 expected), native ${theirs[theirs.length - 1].toFixed(2)} mm (${(calibration.rms / Math.SQRT2).toFixed(3)} px)`,
      );
    }
  } finally {
    pool.close();
  }
  return ours.length > 0 ? rms(ours) / rms(theirs) : null;
};

const phones = Number(options.phones);
const images = Number(options.images);
const ratio = images > 0 ? await imageLevel(images) : null;
const features = featureLevel(phones);
console.log(
  JSON.stringify({
    phones: features.solved,
    coverage95: Number(features.joint.toFixed(4)),
    mm_at_4m_p95: Number(features.mm.toFixed(4)),
    opencv_ratio: ratio === null ? null : Number(ratio.toFixed(3)),
  }),
);
