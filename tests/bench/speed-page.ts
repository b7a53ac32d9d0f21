import { loadOpenCV } from "@opencvjs/web";
import { findBoards } from "../../src/detect/find-boards.ts";
import { boardTagFinder } from "../../src/detect/tags/opencv-tag-finder.ts";

/** Runs in Chromium: least time per photo over some rounds, and how many boards were found. */
async function run(count: number, rounds: number, lens: never) {
  const finder = boardTagFinder((await loadOpenCV()) as never);
  const best = new Array<number>(count).fill(Number.POSITIVE_INFINITY);
  const boards = new Array<number>(count).fill(0);
  for (let round = 0; round < rounds; round++)
    for (let k = 0; k < count; k++) {
      const answer = await fetch(`/luma/${k}`);
      const [width, height] = (answer.headers.get("x-size") ?? "").split("x").map(Number);
      const data = new Uint8Array(await answer.arrayBuffer());
      const start = performance.now();
      const found = findBoards({ width, height, data }, finder, { what: "boards", lens });
      best[k] = Math.min(best[k], performance.now() - start);
      boards[k] = found.boards.length;
    }
  return { best, boards };
}

Object.assign(globalThis, { runSpeed: run });
