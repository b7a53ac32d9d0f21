/**
 * The JPEG decoder against Debian's OpenCV (libjpeg-turbo, IMREAD_GRAYSCALE without rotation): every
 * grey value must be the same.
 */
import { execFileSync } from "node:child_process";
import { mkdtempSync, readdirSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, expect, test } from "vitest";
import { sniffFormat } from "../../src/photo/file/sniff.ts";
import type { LumaImage } from "../../src/photo/grey/luma.ts";
import { decodeJpeg } from "../../src/photo/jpeg/jpeg.ts";
import { decodePng } from "../../src/photo/png/png.ts";
import { ensureDebian, onPath } from "../tools/debian.ts";

const script = join(import.meta.dirname, "photo_native.py");
const python = "/usr/bin/python3";
const examples = "/usr/share/doc/opencv-doc/examples/data";
let folder = "";

beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), "plumbshot-jpeg-"));
  const opencv = () => spawnOk(python, ["-c", "import cv2"]);
  ensureDebian(opencv, ["python3-opencv"], "The decoder comparison");
  ensureDebian(() => onPath("convert"), ["imagemagick"], "The decoder comparison");
  ensureDebian(() => listJpegs(examples).length > 0, ["opencv-doc"], "The decoder comparison");
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

function spawnOk(command: string, args: readonly string[]): boolean {
  try {
    execFileSync(command, [...args], { stdio: "ignore" });
    return true;
  } catch {
    return false;
  }
}

function listJpegs(where: string): string[] {
  try {
    return readdirSync(where)
      .filter((name) => name.endsWith(".jpg"))
      .sort()
      .map((name) => join(where, name))
      .filter((file) => sniffFormat(new Uint8Array(readFileSync(file))) === "jpeg");
  } catch {
    return [];
  }
}

/** OpenCV's grey pictures of the files, null where it cannot read one. */
function native(files: readonly string[]): (LumaImage | null)[] {
  const out = mkdtempSync(join(folder, "grey-"));
  const report = execFileSync(python, [script, "grey", out, ...files], { encoding: "utf8" });
  return report
    .trim()
    .split("\n")
    .map((line, n) => {
      if (line === "unreadable") return null;
      const [width, height] = line.split(" ").map(Number);
      return { width, height, data: new Uint8Array(readFileSync(join(out, `${n}.grey`))) };
    });
}

/** Largest difference of grey values; a difference of size counts as 256. */
function worst(a: LumaImage, b: LumaImage): number {
  if (a.width !== b.width || a.height !== b.height) return 256;
  let most = 0;
  for (let i = 0; i < a.data.length; i++) most = Math.max(most, Math.abs(a.data[i] - b.data[i]));
  return most;
}

/** Number of files decoded to exactly OpenCV's grey values; fails on the first that differs. */
function countEqual(files: readonly string[]): number {
  let equal = 0;
  for (const [n, theirs] of native(files).entries()) {
    const ours = decodeJpeg(new Uint8Array(readFileSync(files[n])));
    if (theirs === null) throw new Error(`OpenCV cannot read ${files[n]}`);
    if (!ours.ok) throw new Error(`${files[n]}: ${ours.remark.message}`);
    expect(worst(ours.luma, theirs), files[n]).toBe(0);
    equal++;
  }
  return equal;
}

test("all JPEGs among OpenCV's examples", () => {
  const files = listJpegs(examples);
  expect(files.length).toBeGreaterThan(50);
  expect(countEqual(files)).toBe(files.length);
});

test("all JPEGs among the pictures of OpenCV's manual", () => {
  const files = listJpegs("/usr/share/doc/opencv-doc/opencv4/html");
  expect(files.length).toBeGreaterThan(300);
  expect(countEqual(files)).toBe(files.length);
});

test("sampling factors, sizes, qualities, sequential and progressive", () => {
  const source = join(examples, "aloeL.jpg");
  const files: string[] = [];
  const jobs: string[] = [];
  for (const sampling of ["1x1", "2x2", "2x1", "1x2", "4x1", "4x2"])
    for (const size of ["64x64", "67x93", "241x130", "1x1", "8x9", "17x16"])
      for (const quality of [5, 50, 75, 90, 98, 100])
        for (const interlace of ["none", "plane"]) {
          const file = join(folder, `${sampling}-${size}-${quality}-${interlace}.jpg`);
          files.push(file);
          jobs.push(
            `convert '${source}' -resize '${size}!' -attenuate 0.3 +noise Gaussian -sampling-factor ` +
              `${sampling} -quality ${quality} -interlace ${interlace} '${file}'`,
          );
        }
  execFileSync("sh", ["-e"], { input: jobs.join("\n") });
  expect(files.length).toBe(432);
  expect(countEqual(files)).toBe(files.length);
});

test("greyscale, RGB and optimised files", () => {
  const source = join(examples, "fruits.jpg");
  const variants = {
    grey: "-colorspace Gray",
    greyProgressive: "-colorspace Gray -interlace plane",
    rgb: "-set colorspace sRGB -define jpeg:colorspace=RGB -sampling-factor 1x1",
    optimised: "-define jpeg:optimize-coding=true",
    plain: "-define jpeg:optimize-coding=false",
  };
  const files = Object.entries(variants).map(([name, options]) => {
    const file = join(folder, `${name}.jpg`);
    execFileSync("sh", ["-c", `convert '${source}' ${options} -quality 88 '${file}'`]);
    return file;
  });
  expect(countEqual(files)).toBe(5);
});

test("restart intervals", () => {
  const source = join(examples, "board.jpg");
  const report = execFileSync(python, [script, "restart", source, folder], { encoding: "utf8" });
  const files = report.trim().split("\n");
  expect(files.length).toBe(8);
  for (const file of files)
    expect(readFileSync(file).includes(Buffer.from([0xff, 0xdd]))).toBe(true);
  expect(countEqual(files)).toBe(8);
});

test("PNG within one grey level", () => {
  const source = join(examples, "fruits.jpg");
  const variants = {
    rgb8: "-type TrueColor -depth 8",
    rgb16: "-type TrueColor -depth 16 -attenuate 0.5 +noise Gaussian",
    rgba8: "-alpha set -depth 8 -define png:color-type=6",
    grey8: "-colorspace Gray -depth 8",
    grey16: "-colorspace Gray -depth 16 -attenuate 0.5 +noise Gaussian",
    grey4: "-colorspace Gray -depth 4 -define png:color-type=0 -define png:bit-depth=4",
    palette: "-colors 200 -define png:color-type=3",
  };
  const files = Object.entries(variants).map(([name, options]) => {
    const file = join(folder, `${name}.png`);
    execFileSync("sh", ["-c", `convert '${source}' -strip ${options} '${file}'`]);
    return file;
  });
  let close = 0;
  for (const [n, theirs] of native(files).entries()) {
    const ours = decodePng(new Uint8Array(readFileSync(files[n])));
    if (!ours.ok || !theirs) throw new Error(files[n]);
    expect(worst(ours.luma, theirs), files[n]).toBeLessThanOrEqual(1);
    close++;
  }
  expect(close).toBe(7);
});
