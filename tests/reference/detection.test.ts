import { existsSync, readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { loadOpenCV } from "@opencvjs/web";
import { describe, expect, it } from "vitest";
import { findBoards } from "../../src/detect/find-boards.ts";
import { openCvTagFinder } from "../../src/detect/tags/opencv-tag-finder.ts";
import type { Lens } from "../../src/lens/lens.ts";
import { decodePhoto } from "../../src/photo/decode.ts";
import { runNative } from "../bench/native-tags.ts";

const job = join(import.meta.dirname, "../../sample-images/demo-job");
const folder = join(job, "photos");
const names = (existsSync(folder) ? readdirSync(folder) : []).filter((n) => n.endsWith(".jpg"));
const chosen = names.sort().filter((_, i) => i % 4 === 0);

const lumaOf = (name: string) => {
  const photo = decodePhoto(new Uint8Array(readFileSync(join(folder, name))), name);
  if (!photo.ok) throw new Error(photo.remark.message);
  return photo.luma;
};

// Reference: Debian's native OpenCV 4.6 (python3-opencv), detectMarkers with the same
// settings and one threshold window (with several, versions keep different ones of equal outlines).
describe("tag finder beside Debian's OpenCV on the sample photos", () => {
  it("finds the same ids with corners within 0.1 px before refinement, and loses no board", async () => {
    expect(chosen.length).toBeGreaterThanOrEqual(3);
    const finder = openCvTagFinder((await loadOpenCV()) as never);
    const lens: Lens = JSON.parse(readFileSync(join(job, "truth.json"), "utf8")).lens;
    const native = runNative<[number, number[]][]>(
      "unrefined",
      chosen.map((name) => ({ path: join(folder, name) })),
    );
    let compared = 0;
    chosen.forEach((name, k) => {
      const luma = lumaOf(name);
      const minPerimeterPx = 0.03 * Math.max(luma.width, luma.height);
      const ours = finder.find(luma, { windows: [13], minPerimeterPx, darkerBy: 7 }).tags;
      const byId = (a: number, b: number) => a - b;
      const nativeIds = native[k].map(([id]) => id).sort(byId);
      expect(ours.map((tag) => tag.id).sort(byId)).toEqual(nativeIds);
      for (const [id, corners] of native[k]) {
        const tag = ours.find((t) => t.id === id);
        corners.forEach((c, i) => {
          expect(Math.abs((tag?.corners[i] ?? Number.NaN) - c)).toBeLessThan(0.1);
          compared++;
        });
      }
      const boards = findBoards(luma, finder, { what: "boards", lens }).boards.map((b) => b.id);
      expect(boards).toEqual(expect.arrayContaining(nativeIds));
    });
    expect(compared).toBeGreaterThan(8 * chosen.length);
  }, 120_000);
});
