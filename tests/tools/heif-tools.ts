/** Debian's heif-enc and heif-convert (libheif-examples), and dec265 (libde265-examples). */
import { execFileSync } from "node:child_process";
import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { Bytes } from "../../src/photo/heif/boxes.ts";
import { ensureDebian, onPath } from "./debian.ts";
import type { CodedPicture } from "./heif-writer.ts";

export const ensureHeifTools = (): void =>
  ensureDebian(
    () => ["heif-enc", "heif-convert", "libde265-dec265"].every(onPath),
    ["libheif-examples", "libde265-examples"],
    "The HEIC test",
  );

function inFolder<T>(work: (folder: string) => T): T {
  const folder = mkdtempSync(join(tmpdir(), "plumbshot-heif-"));
  try {
    return work(folder);
  } finally {
    rmSync(folder, { recursive: true });
  }
}

/** One HEIC from JPEG files; the first is the main picture. */
export const encodeHeic = (jpegs: readonly Uint8Array[], options: readonly string[] = []) =>
  inFolder((folder) => {
    const names = jpegs.map((bytes, i) => {
      const name = join(folder, `in-${i}.jpg`);
      writeFileSync(name, bytes);
      return name;
    });
    const out = join(folder, "out.heic");
    execFileSync("heif-enc", [...options, ...names, "-o", out], { stdio: "ignore" });
    return new Uint8Array(readFileSync(out));
  });

export interface ConvertedLuma {
  readonly width: number;
  readonly height: number;
  readonly data: Uint8Array;
}

/** Rows of the Y plane as dec265 decodes the stream, in bytes; its width may be padded to even. */
export const decodeStream = ({ data, setup }: CodedPicture): Uint8Array =>
  inFolder((folder) => {
    const [file, out] = [join(folder, "in.nal"), join(folder, "out.yuv")];
    writeFileSync(file, Buffer.concat([...parameterSets(setup), data]));
    execFileSync("libde265-dec265", ["-q", "-n", "-o", out, file], { stdio: "ignore" });
    return new Uint8Array(readFileSync(out));
  });

/** Of the decoder's set-up (hvcC, ISO/IEC 14496-15, 8.3.3.1), each with its length before it. */
function parameterSets(setup: Uint8Array): Buffer[] {
  const bytes = new Bytes(setup, 0);
  bytes.at = 22;
  const found: Buffer[] = [];
  for (let arrays = bytes.u8(); arrays > 0; arrays--) {
    bytes.u8();
    for (let units = bytes.u16(); units > 0; units--) {
      const length = bytes.u16();
      found.push(Buffer.from([0, 0, length >> 8, length & 255]));
      found.push(Buffer.from(setup.subarray(bytes.at, bytes.at + length)));
      bytes.at += length;
    }
  }
  return found;
}

/**
 * The Y plane of the main picture as heif-convert gives it: turned and flipped as the file asks.
 * It goes through RGB, so that grey values come back exactly only where the picture has no colour.
 */
export const convertHeic = (heic: Uint8Array): ConvertedLuma =>
  inFolder((folder) => {
    const file = join(folder, "in.heic");
    writeFileSync(file, heic);
    execFileSync("heif-convert", [file, join(folder, "out.y4m")], { stdio: "ignore" });
    // Of several pictures each gets a file with its number.
    const first =
      readdirSync(folder)
        .sort()
        .find((name) => name.endsWith(".y4m")) ?? "";
    const bytes = new Uint8Array(readFileSync(join(folder, first)));
    const line = bytes.indexOf(10);
    const head = Buffer.from(bytes.subarray(0, line)).toString();
    const [width, height] = ["W", "H"].map((key) => Number(head.match(` ${key}(\\d+)`)![1]));
    const start = line + 1 + "FRAME\n".length;
    return { width, height, data: bytes.subarray(start, start + width * height) };
  });
