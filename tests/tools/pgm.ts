import { readFileSync, writeFileSync } from "node:fs";
import type { LumaImage } from "../../src/photo/grey/luma.ts";

/** Writes a binary PGM, which every image program reads. */
export function writePgm(path: string, image: LumaImage): void {
  const head = Buffer.from(`P5\n${image.width} ${image.height}\n255\n`);
  writeFileSync(path, Buffer.concat([head, image.data]));
}

/** Reads what `writePgm` wrote. */
export function readPgm(path: string): LumaImage {
  const bytes = readFileSync(path);
  const head = /^P5\n(\d+) (\d+)\n255\n/.exec(bytes.subarray(0, 40).toString("latin1"));
  if (!head) throw new Error(`${path} is no binary PGM of 8 bits as it is written here.`);
  const [width, height] = [Number(head[1]), Number(head[2])];
  const data = new Uint8Array(bytes.subarray(head[0].length));
  if (data.length !== width * height) throw new Error(`${path} ends early.`);
  return { width, height, data };
}
