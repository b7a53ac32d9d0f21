/**
 * `npm run bench:detect`: how many boards are found, beside Debian's OpenCV (detectMarkers) and
 * AprilTag (decimate 1) on the same pictures, over cell size, obliquity, blur, gloom, glare, motion
 * and covering; and false boards on the photos of Debian's opencv-doc. Last line: one JSON object.
 */
import { execFileSync, spawnSync } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { loadOpenCV } from "@opencvjs/web";
import { findBoards } from "../../src/detect/find-boards.ts";
import { boardTagFinder } from "../../src/detect/tags/opencv-tag-finder.ts";
import type { Lens } from "../../src/lens/lens.ts";
import { decodePhoto } from "../../src/photo/decode.ts";
import type { LumaImage } from "../../src/photo/grey/luma.ts";
import { phoneLens, printPoseSeen } from "../tools/board-poses.ts";
import { ensureDebian } from "../tools/debian.ts";
import { writePgm } from "../tools/pgm.ts";
import { renderScene, type Scene, seededRandom } from "../tools/render-board.ts";
import { runNative } from "./native-tags.ts";

interface Case {
  readonly name: string;
  readonly cellPx: number;
  readonly tiltDeg: number;
  readonly change: Partial<Scene>;
  readonly disc?: readonly [number, number, number];
}

interface Tags {
  readonly opencv: [number, number[]][];
  readonly apriltag1: [number, number[]][];
}

const id = 23;
const posesPerCase = 4;
const cases: Case[] = [];
for (const cellPx of [3, 4, 6, 10])
  for (const tiltDeg of [0, 40, 60, 70])
    for (const blurPx of [0.7, 1.5])
      cases.push({ name: "plain", cellPx, tiltDeg, change: { blurPx } });
for (const cellPx of [4, 8]) {
  const rest = { cellPx, tiltDeg: 35 };
  cases.push({ name: "gloom", ...rest, change: { light: 0.05, noise: 4 } });
  cases.push({ name: "glare", ...rest, change: { glare: 0.35, lightSlope: 0.6 } });
  for (const lengthPx of [2, 4])
    cases.push({
      name: `motion ${lengthPx} px`,
      ...rest,
      change: { motion: { lengthPx, angle: 0.7 } },
    });
  cases.push({ name: "ring covered", ...rest, change: {}, disc: [6, 2, 2] });
  cases.push({ name: "tag side covered", ...rest, change: {}, disc: [4.5, 0, 0.7] });
}

/** A photo with one board: as large as those that are searched at half size, grey elsewhere. */
const photo = { width: 1600, height: 1200, left: 601, top: 403 };

function inPhoto(part: LumaImage): LumaImage {
  const { width, height, left, top } = photo;
  const random = seededRandom(9);
  const data = Uint8Array.from(
    { length: width * height },
    (_, i) => 120 + 20 * Math.sin(i / 300) + 6 * random(),
  );
  for (let y = 0; y < part.height; y++)
    data.set(part.data.subarray(y * part.width, (y + 1) * part.width), (y + top) * width + left);
  return { width, height, data };
}

const lensInPhoto = (lens: Lens): Lens => ({
  ...lens,
  cx: lens.cx + photo.left,
  cy: lens.cy + photo.top,
});

const folder = mkdtempSync(join(tmpdir(), "plumbshot-detect-"));
const finder = boardTagFinder((await loadOpenCV()) as never);
const pictures = cases.flatMap((c, index) =>
  Array.from({ length: posesPerCase }, (_, pose) => {
    const random = seededRandom(500 + 10 * index + pose);
    const size = Math.ceil(c.cellPx * 19 + 24);
    const whole = phoneLens(4032, 3024);
    const lens = { ...whole, cx: whole.cx - 2600, cy: whole.cy - 2000 };
    const at = [size / 2 + random(), size / 2 + random()] as const;
    const tilt = (c.tiltDeg * Math.PI) / 180;
    const pose6 = printPoseSeen(
      lens,
      at,
      c.cellPx,
      tilt,
      random() * Math.PI,
      random() * 2 * Math.PI,
    );
    const scene: Scene = {
      width: size,
      height: size,
      lens,
      prints: [{ id, cameraFromBoard: pose6, discs: c.disc ? [c.disc] : [] }],
      blurPx: 0.8,
      tone: "sRGB",
      noise: 2,
      seed: index * 10 + pose,
      ...c.change,
    };
    const image = inPhoto(renderScene(scene));
    const path = join(folder, `${index}-${pose}.pgm`);
    writePgm(path, image);
    const boards = findBoards(image, finder, { what: "boards", lens: lensInPhoto(lens) }).boards;
    return {
      index,
      path,
      ours: boards.some((b) => b.id === id),
      wrong: boards.filter((b) => b.id !== id).length,
    };
  }),
);
const native = runNative<Tags>("ids", pictures);
rmSync(folder, { recursive: true });

const sum = { ours: 0, opencv: 0, apriltag: 0, wrong: 0 };
const below: string[] = [];
console.log("case                    cell  tilt  blur  ours  OpenCV  AprilTag");
cases.forEach((c, index) => {
  const count = { ours: 0, opencv: 0, apriltag: 0 };
  pictures.forEach((p, k) => {
    if (p.index !== index) return;
    if (p.ours) count.ours++;
    sum.wrong += p.wrong;
    if (native[k].opencv.some(([tag]) => tag === id)) count.opencv++;
    if (native[k].apriltag1.some(([tag]) => tag === id)) count.apriltag++;
  });
  sum.ours += count.ours;
  sum.opencv += count.opencv;
  sum.apriltag += count.apriltag;
  const worse = count.ours < Math.max(count.opencv, count.apriltag);
  const text = `${c.name.padEnd(24)}${String(c.cellPx).padEnd(6)}${String(c.tiltDeg).padEnd(6)}${String(c.change.blurPx ?? 0.8).padEnd(6)}`;
  if (worse) below.push(text.trim());
  console.log(
    `${text}${count.ours}/${posesPerCase}   ${count.opencv}/${posesPerCase}     ${count.apriltag}/${posesPerCase}${worse ? "   below native" : ""}`,
  );
});

const listDoc = () => spawnSync("dpkg", ["-L", "opencv-doc"], { encoding: "utf8" });
ensureDebian(() => listDoc().status === 0, ["opencv-doc"], "The search for false boards");
const photos = execFileSync("dpkg", ["-L", "opencv-doc"], { encoding: "utf8" })
  .split("\n")
  .filter((path) => /\.(jpe?g|png)$/i.test(path));
let [read, falseBoards] = [0, 0];
for (const path of photos) {
  const photo = decodePhoto(new Uint8Array(readFileSync(path)), path);
  if (!photo.ok) continue;
  read++;
  const { boards, remarks } = findBoards(photo.luma, finder, { what: "boards" });
  const sheets = findBoards(photo.luma, finder, { what: "sheet" }).boards;
  const mirrored = remarks.filter((r) => r.code === "mirrored-print");
  if (boards.length + sheets.length + mirrored.length > 0)
    console.log(`false: ${path} ${boards.map((b) => b.id).join(" ")} ${mirrored.length}`);
  falseBoards += boards.length + sheets.length + mirrored.length;
}
if (read === 0) throw new Error("no photo of opencv-doc could be read");
console.log(
  JSON.stringify({
    pictures: pictures.length,
    found: sum.ours,
    opencv_found: sum.opencv,
    apriltag_found: sum.apriltag,
    cases_below_native: below.length,
    wrong_ids: sum.wrong,
    other_photos: read,
    false_boards: falseBoards,
  }),
);
process.exit(0);
