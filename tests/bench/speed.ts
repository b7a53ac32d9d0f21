/**
 * `npm run bench:speed`: time per 12-megapixel photo of the sample job from grey pixels to refined
 * boards, ours in Node and in Chromium beside Debian's OpenCV (detectMarkers with sub-pixel
 * refinement) and AprilTag (decimate 1 and 2), each on one thread, on the same photos. Least of the
 * rounds counts; Node and native are processor time, which other programs disturb least; Chromium
 * is wall time. Last line: one JSON object.
 */
import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync } from "node:fs";
import { createServer } from "node:http";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { loadOpenCV } from "@opencvjs/web";
import { chromium } from "playwright-core";
import { build } from "vite";
import { findBoards } from "../../src/detect/find-boards.ts";
import { boardTagFinder } from "../../src/detect/tags/opencv-tag-finder.ts";
import type { Lens } from "../../src/lens/lens.ts";
import { decodePhoto } from "../../src/photo/decode.ts";
import type { LumaImage } from "../../src/photo/grey/luma.ts";
import { findChromium } from "../tools/debian.ts";
import { runNative } from "./native-tags.ts";

const rounds = 4;
const job = join(import.meta.dirname, "../../sample-images/demo-job");
const lens: Lens = JSON.parse(readFileSync(join(job, "truth.json"), "utf8")).lens;
const names = readdirSync(join(job, "photos"))
  .filter((name) => name.endsWith(".jpg"))
  .sort();
if (names.length === 0) throw new Error("no photos in the sample job");

const processorMs = (): number => {
  const { user, system } = process.cpuUsage();
  return (user + system) / 1000;
};

interface Ours {
  decode: number;
  find: number;
  boards: number;
}

async function measureNode(): Promise<{ ours: Ours[]; images: LumaImage[] }> {
  const finder = boardTagFinder((await loadOpenCV()) as never);
  const images: LumaImage[] = [];
  const ours: Ours[] = names.map(() => ({
    decode: Number.POSITIVE_INFINITY,
    find: Number.POSITIVE_INFINITY,
    boards: 0,
  }));
  // Decoding and finding apart, as on the native side: what one leaves to be cleared away would
  // otherwise count with the other.
  for (let round = 0; round < rounds; round++)
    names.forEach((name, k) => {
      const bytes = readFileSync(join(job, "photos", name));
      const start = processorMs();
      const photo = decodePhoto(bytes, name);
      if (!photo.ok) throw new Error(photo.remark.message);
      ours[k].decode = Math.min(ours[k].decode, processorMs() - start);
      images[k] = photo.luma;
    });
  for (let round = 0; round < rounds; round++)
    images.forEach((image, k) => {
      const start = processorMs();
      const found = findBoards(image, finder, { what: "boards", lens });
      ours[k].find = Math.min(ours[k].find, processorMs() - start);
      ours[k].boards = found.boards.length;
    });
  return { ours, images };
}

async function measureChromium(images: readonly LumaImage[]) {
  const executablePath = findChromium();
  if (!executablePath) return null;
  const folder = mkdtempSync(join(tmpdir(), "plumbshot-speed-"));
  await build({
    configFile: false,
    logLevel: "error",
    build: {
      outDir: folder,
      target: "es2022",
      chunkSizeWarningLimit: 20_000,
      lib: {
        entry: join(import.meta.dirname, "speed-page.ts"),
        formats: ["es"],
        fileName: () => "page.js",
      },
    },
  });
  const server = createServer((request, response) => {
    const url = request.url ?? "/";
    if (url.startsWith("/luma/")) {
      const image = images[Number(url.slice(6))];
      response.setHeader("x-size", `${image.width}x${image.height}`);
      response.end(image.data);
    } else if (url === "/") {
      response.setHeader("content-type", "text/html");
      response.end("<!doctype html><script type=module src=/page.js></script>");
    } else if (/^\/[\w.-]+\.js$/.test(url) && existsSync(join(folder, url))) {
      response.setHeader("content-type", "text/javascript");
      response.end(readFileSync(join(folder, url)));
    } else {
      response.statusCode = 404;
      response.end();
    }
  });
  await new Promise<void>((resolve) => server.listen(0, "127.0.0.1", resolve));
  const { port } = server.address() as { port: number };
  const browser = await chromium.launch({ executablePath, args: ["--no-sandbox"] });
  try {
    const page = await browser.newPage();
    await page.goto(`http://127.0.0.1:${port}/`);
    await page.waitForFunction("'runSpeed' in globalThis");
    const call = `runSpeed(${images.length}, ${rounds}, ${JSON.stringify(lens)})`;
    return (await page.evaluate(call)) as { best: number[]; boards: number[] };
  } finally {
    await browser.close();
    server.close();
    rmSync(folder, { recursive: true });
  }
}

interface NativeTimes {
  readonly decode: number;
  readonly opencv: number;
  readonly ids: number[];
  readonly apriltag1: number;
  readonly apriltag1_ids: number[];
  readonly apriltag2: number;
  readonly apriltag2_ids: number[];
}

const { ours, images } = await measureNode();
const native = runNative<NativeTimes>(
  "times",
  names.map((name) => ({ path: join(job, "photos", name) })),
);
const inChromium = process.argv.includes("--no-browser") ? null : await measureChromium(images);

console.log(
  "photo        ours ms  boards  Chromium  OpenCV ms  tags  AprilTag  tags  decimate 2  tags",
);
names.forEach((name, k) => {
  const n = native[k];
  const cells = [
    ours[k].find.toFixed(0).padStart(7),
    String(ours[k].boards).padStart(6),
    (inChromium?.best[k].toFixed(0) ?? "-").padStart(8),
    (1000 * n.opencv).toFixed(0).padStart(9),
    String(n.ids.length).padStart(5),
    (1000 * n.apriltag1).toFixed(0).padStart(8),
    String(n.apriltag1_ids.length).padStart(5),
    (1000 * n.apriltag2).toFixed(0).padStart(10),
    String(n.apriltag2_ids.length).padStart(5),
  ];
  console.log(`${name.padEnd(12)} ${cells.join("  ")}`);
});

const mean = (values: readonly number[]): number =>
  Number((values.reduce((a, b) => a + b, 0) / values.length).toFixed(1));
const find = mean(ours.map((o) => o.find));
const decode = mean(ours.map((o) => o.decode));
const opencv = mean(native.map((n) => 1000 * n.opencv));
const opencvDecode = mean(native.map((n) => 1000 * n.decode));
console.log(
  JSON.stringify({
    ms_per_photo: find,
    chromium_ms_per_photo: inChromium ? mean(inChromium.best) : null,
    decode_ms: decode,
    opencv_ms: opencv,
    opencv_decode_ms: opencvDecode,
    apriltag_ms: mean(native.map((n) => 1000 * n.apriltag1)),
    apriltag_decimate2_ms: mean(native.map((n) => 1000 * n.apriltag2)),
    ratio_opencv: Number((find / opencv).toFixed(2)),
    ratio_with_decode: Number(((find + decode) / (opencv + opencvDecode)).toFixed(2)),
    boards: ours.reduce((s, o) => s + o.boards, 0),
    opencv_tags: native.reduce((s, n) => s + n.ids.length, 0),
    apriltag_tags: native.reduce((s, n) => s + n.apriltag1_ids.length, 0),
  }),
);
process.exit(0);
