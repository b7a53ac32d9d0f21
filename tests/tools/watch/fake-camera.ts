/** Video files that Chromium plays as a camera. */
import { closeSync, openSync, readFileSync, writeSync } from "node:fs";
import { decodePhoto } from "../../../src/photo/decode.ts";
import type { LumaImage } from "../../../src/photo/grey/luma.ts";

/** YUV4MPEG2 of grey frames; Chromium begins anew at the end. */
export function writeY4m(file: string, frames: Iterable<LumaImage>, perSecond: number): void {
  const handle = openSync(file, "w");
  let begun = false;
  for (const { width, height, data } of frames) {
    if (!begun) {
      writeSync(handle, `YUV4MPEG2 W${width} H${height} F${perSecond}:1 Ip A1:1 C420jpeg\n`);
      begun = true;
    }
    writeSync(handle, "FRAME\n");
    writeSync(handle, data);
    writeSync(handle, new Uint8Array((width * height) / 2).fill(128));
  }
  closeSync(handle);
}

/** The middle of a 12-megapixel photo at half its size: 1920 x 1080 px. */
export function streamOfPhoto(path: string): LumaImage {
  const photo = decodePhoto(new Uint8Array(readFileSync(path)), path);
  if (!photo.ok) throw new Error(photo.remark.message);
  const { width: w, height: h, data } = photo.luma;
  const step = 2;
  const [width, height] = [1920, 1080];
  const [left, top] = [(w - step * width) >> 1, (h - step * height) >> 1];
  const small = new Uint8Array(width * height);
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const at = (top + step * y) * w + left + step * x;
      small[y * width + x] = (data[at] + data[at + 1] + data[at + w] + data[at + w + 1] + 2) >> 2;
    }
  }
  return { width, height, data: small };
}

export const fakeCamera = (file: string): string[] => [
  "--use-fake-device-for-media-stream",
  "--use-fake-ui-for-media-stream",
  `--use-file-for-fake-video-capture=${file}`,
];
