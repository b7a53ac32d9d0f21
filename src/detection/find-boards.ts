import { boardWords } from "../boards/kit.ts";
import { isSheetMarkerId } from "../boards/sheet.ts";
import type { Lens } from "../camera/lens.ts";
import type { LumaImage } from "../photo/luma.ts";
import { boardView } from "./board-view.ts";
import type { BoardView, Remark } from "./findings.ts";
import { newPatternWorkspace } from "./pattern-fit.ts";
import { type PlaneMap, planeMap } from "./plane-map.ts";
import { meanCellPx } from "./quality.ts";
import { rescueBoards } from "./rescue.ts";
import { fitRing, type ProvenBoard, startFromTag } from "./ring-fit.ts";
import { findSheet } from "./sheet-fit.ts";
import type { FoundTag, TagFinder } from "./tag-finder.ts";
import { findTags } from "./tag-search.ts";

export interface FindOptions {
  /** Boards of the kit, or the camera sheet. */
  readonly what: "boards" | "sheet";
  /** The camera's lens where it is known: it bends a board by up to a few tenths of a pixel. */
  readonly lens?: Lens | null;
  /** Also look for boards below 4 px a cell, which takes about twice as long. */
  readonly thorough?: boolean;
  /** Clock in ms for `timesMs`; without it the times are zero. */
  readonly now?: () => number;
}

export interface BoardFindings {
  readonly boards: readonly BoardView[];
  readonly remarks: readonly Remark[];
  readonly timesMs: { readonly find: number; readonly refine: number };
}

/**
 * Finds every board (or the camera sheet) in a grey photo and places its features to a small part
 * of a pixel. A board whose id shows twice, or whose print is mirrored, is named in the remarks and
 * not returned. A photo without boards gives empty lists.
 */
export function findBoards(
  image: LumaImage,
  finder: TagFinder,
  options: FindOptions,
): BoardFindings {
  const now = options.now ?? (() => 0);
  const start = now();
  const map = planeMap(options.lens ?? null);
  const search = findTags(image, finder, options.thorough ?? false);
  const found = now();
  const remarks: Remark[] = [];
  let boards: BoardView[];
  if (options.what === "sheet") {
    const sheet = findSheet(image, search.tags, map);
    boards = sheet ? [sheet] : [];
  } else {
    const rings = proveBoards(image, search.tags, map);
    const rescued = rescueBoards(image, search.otherQuads, rings, map);
    remarks.push(...rescued.remarks);
    const single = dropTwins([...rings, ...rescued.boards], remarks);
    const work = newPatternWorkspace();
    boards = single.flatMap((board) => boardView(image, board, map, work) ?? []);
  }
  return { boards, remarks, timesMs: { find: found - start, refine: now() - found } };
}

/**
 * Tags with the ring of checks around them, or that the whole-pattern fit has yet to prove; the same
 * board found twice counts once.
 */
function proveBoards(image: LumaImage, tags: readonly FoundTag[], map: PlaneMap): ProvenBoard[] {
  const boards: ProvenBoard[] = [];
  for (const tag of tags) {
    if (isSheetMarkerId(tag.id)) continue;
    const fit = fitRing(image, tag.corners, map) ?? startFromTag(image, tag.corners, map);
    if (!fit) continue;
    const [x, y] = [fit.homography[2], fit.homography[5]];
    const cell = meanCellPx(fit.homography);
    const known = boards.some(
      (b) => Math.hypot(b.fit.homography[2] - x, b.fit.homography[5] - y) < 4 * cell,
    );
    if (!known) boards.push({ id: tag.id, fit });
  }
  return boards;
}

/** Leaves out boards whose id shows more than once: one of them is a copy or a mix-up. */
function dropTwins(boards: readonly ProvenBoard[], remarks: Remark[]): ProvenBoard[] {
  const count = new Map<number, number>();
  for (const { id } of boards) count.set(id, (count.get(id) ?? 0) + 1);
  for (const [id, times] of count)
    if (times > 1)
      remarks.push({
        code: "same-board-twice",
        values: { board: id, times },
        severity: "warning",
        message: `This photo shows ${boardWords(id)} ${times} times; it was left out.`,
        remedy: "Print every board once and put each in one place, then take the photo again.",
        about: `board ${id}`,
      });
  return boards.filter(({ id }) => count.get(id) === 1);
}
