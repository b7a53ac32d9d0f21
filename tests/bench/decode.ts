/**
 * `npm run bench:decode`: JPEG bytes to luma, ours (WebAssembly and plain TypeScript) beside Debian's
 * OpenCV with one thread, on 12-megapixel photos, taking turns in one run. The fastest of the rounds
 * counts for each; processor time stands beside it, since that is what other programs' load disturbs
 * least. HEIC of the same pictures (heif-enc) through libheif in WebAssembly, as Node reads it, with
 * the time of the whole way from bytes to grey. Last line: one JSON object.
 */
import { execFileSync, spawn } from "node:child_process";
import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { createInterface } from "node:readline";
import { decodeJpeg } from "../../src/photo/jpeg/jpeg.ts";
import { nodeDecoder } from "../../workers/node/decode-node.ts";
import { ensureDebian, onPath } from "../tools/debian.ts";
import { encodeHeic, ensureHeifTools } from "../tools/heif-tools.ts";

const rounds = 12;
const inf = Number.POSITIVE_INFINITY;
const most = 4;
const folder = mkdtempSync(join(tmpdir(), "plumbshot-decode-"));
const demo = join(import.meta.dirname, "../../sample-images/demo-job/photos");

function demoPhotos(): string[] {
  if (!existsSync(demo)) return [];
  const names = readdirSync(demo).filter((name) => name.endsWith(".jpg"));
  return names.slice(0, most).map((name) => join(demo, name));
}

/** A noisy picture with detail everywhere: as much entropy data as a phone's photo outdoors. */
function syntheticPhoto(): string {
  ensureDebian(() => onPath("convert"), ["imagemagick"], "The decoder bench");
  const file = join(folder, "synthetic.jpg");
  const options = "-size 1008x756 plasma:fractal -resize 400% -attenuate 0.2 +noise Gaussian";
  const save = ["-sampling-factor", "2x2", "-quality", "90", file];
  execFileSync("convert", ["-seed", "7", ...options.split(" "), ...save]);
  return file;
}

function timed(work: () => unknown): number {
  const start = performance.now();
  work();
  return performance.now() - start;
}

const files = [...demoPhotos(), syntheticPhoto()];
const photos = files.map((file) => new Uint8Array(readFileSync(file)));
const native = spawn("/usr/bin/python3", [join(import.meta.dirname, "decode_native.py"), ...files]);
const answers = createInterface({ input: native.stdout })[Symbol.asyncIterator]();

/** Processor time of this process in ms while `work` runs. */
function processorTime(work: () => unknown): number {
  const start = process.cpuUsage();
  work();
  const { user, system } = process.cpuUsage(start);
  return (user + system) / 1000;
}

async function nativeRun(n: number): Promise<{ ms: number; cpu: number; sum: number }> {
  native.stdin.write(`${n}\n`);
  const { value } = await answers.next();
  return JSON.parse(value);
}

console.log("photo           MB   WebAssembly  TypeScript   OpenCV   ratio");
const totals = { wasm: 0, plain: 0, native: 0, cpu: 0, nativeCpu: 0 };
for (const [n, bytes] of photos.entries()) {
  const best = { wasm: inf, plain: inf, native: inf, cpu: inf, nativeCpu: inf };
  for (let round = 0; round < rounds; round++) {
    const theirs = await nativeRun(n);
    best.native = Math.min(best.native, theirs.ms);
    best.nativeCpu = Math.min(best.nativeCpu, theirs.cpu);
    best.cpu = Math.min(
      best.cpu,
      processorTime(() => decodeJpeg(bytes)),
    );
    best.wasm = Math.min(
      best.wasm,
      timed(() => decodeJpeg(bytes)),
    );
    best.plain = Math.min(
      best.plain,
      timed(() => decodeJpeg(bytes, { wasm: false })),
    );
    if (round > 0) continue;
    const ours = decodeJpeg(bytes);
    if (!ours.ok) throw new Error(ours.remark.message);
    const sum = ours.luma.data.reduce((total, grey) => total + grey, 0);
    if (sum !== theirs.sum) throw new Error(`${files[n]}: grey values differ from OpenCV's`);
  }
  const name = files[n].split("/").at(-1) ?? "";
  const cells = [bytes.length / 1e6, best.wasm, best.plain, best.native];
  const text = cells.map((cell, i) => cell.toFixed(1).padStart([5, 11, 12, 12, 10][i]));
  console.log(
    `${name.padEnd(14)}${text.join("")}${(best.wasm / best.native).toFixed(2).padStart(8)}`,
  );
  for (const key of Object.keys(totals) as (keyof typeof totals)[]) totals[key] += best[key];
}
native.stdin.end();

/** HEIC is slow enough for three rounds; the module is loaded before. */
const heicTimes: { ms: number; cpu: number }[] = [];
{
  ensureHeifTools();
  const decode = nodeDecoder();
  for (const [n, bytes] of photos.entries()) {
    const heic = encodeHeic([bytes], ["-q", "90"]);
    const best = { ms: inf, cpu: inf };
    for (let round = 0; round < 3; round++) {
      const start = performance.now();
      const cpu = process.cpuUsage();
      const photo = await decode(heic, files[n]);
      const { user, system } = process.cpuUsage(cpu);
      if (!photo.ok) throw new Error(photo.remark.message);
      best.ms = Math.min(best.ms, performance.now() - start);
      best.cpu = Math.min(best.cpu, (user + system) / 1000);
    }
    heicTimes.push(best);
    console.log(
      `${(files[n].split("/").at(-1) ?? "").padEnd(14)}HEIC ${(heic.length / 1e6).toFixed(1)} MB ` +
        `${best.ms.toFixed(0)} ms, processor ${best.cpu.toFixed(0)} ms`,
    );
  }
}
rmSync(folder, { recursive: true });

const mean = (total: number): number => Number((total / photos.length).toFixed(1));
console.log(
  JSON.stringify({
    photos: photos.length,
    decode_ms: mean(totals.wasm),
    decode_ts_ms: mean(totals.plain),
    opencv_decode_ms: mean(totals.native),
    ratio: Number((totals.wasm / totals.native).toFixed(2)),
    decode_cpu_ms: mean(totals.cpu),
    opencv_decode_cpu_ms: mean(totals.nativeCpu),
    heic_ms: Math.round(Math.max(...heicTimes.map(({ ms }) => ms))),
    heic_cpu_ms: Math.round(Math.max(...heicTimes.map(({ cpu }) => cpu))),
    ratio_cpu: Number((totals.cpu / totals.nativeCpu).toFixed(2)),
  }),
);
