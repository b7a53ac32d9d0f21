import { writeFileSync } from "node:fs";
import type { LumaImage } from "../../src/photo/grey/luma.ts";

/** Writes a binary PGM, which every image program reads. */
export function writePgm(path: string, image: LumaImage): void {
  const head = Buffer.from(`P5\n${image.width} ${image.height}\n255\n`);
  writeFileSync(path, Buffer.concat([head, image.data]));
}
