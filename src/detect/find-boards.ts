import { boardWords } from "../boards/kit.ts";
import { isSheetMarkerId } from "../boards/sheet.ts";
import type { Lens } from "../lens/lens.ts";
import type { LumaImage } from "../photo/grey/luma.ts";
import type { Remark } from "./findings/codes.ts";
import type { BoardView } from "./findings/findings.ts";
import { type PlaneMap, planeMap } from "./picture/plane-map.ts";
import { newPatternWorkspace, type PatternWorkspace } from "./print-fit/print-fit.ts";
import { meanCellPx } from "./quality/quality.ts";
import { fitRing, type ProvenBoard, startFromTag } from "./ring/ring-fit.ts";
import { blurredBoards } from "./search/blurred-boards.ts";
import { boardView } from "./search/board-view.ts";
import { type Rescued, rescueBoards } from "./search/rescue.ts";
import {
  findCoveredTags,
  findDarkShapes,
  findSmallTags,
  findTags,
  isSearchedAtHalfSize,
} from "./search/tag-search.ts";
import { findSheet } from "./sheet/sheet-fit.ts";
import type { FoundTag, TagFinder, TagFindings } from "./tags/tag-finder.ts";

export interface FindOptions {
  /** Boards of the kit, or the camera sheet. */
  readonly what: "boards" | "sheet";
  /** The camera's lens where it is known: it bends a board by up to a few tenths of a pixel. */
  readonly lens?: Lens | null;
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
  const remarks: Remark[] = [];
  const work = newPatternWorkspace();
  const seen = options.what === "sheet" ? null : lookForBoards(image, finder, map, work);
  const tags = seen ? [] : findTags(image, finder).tags;
  const found = now();
  let boards: BoardView[];
  if (seen) {
    const single = dropDuplicates(seen.boards, remarks);
    // A board that is seen directly as well shows its reflection in glass, paint or a wet floor.
    const direct = new Set(seen.boards.map(({ id }) => id));
    remarks.push(
      ...[...new Set(seen.mirrored)].filter((id) => !direct.has(id)).map(mirroredRemark),
    );
    boards = single.flatMap((board) => boardView(image, board, map, work) ?? []);
  } else {
    const sheet = findSheet(image, tags, map);
    boards = sheet ? [sheet] : [];
  }
  return { boards, remarks, timesMs: { find: found - start, refine: now() - found } };
}

/**
 * A photo with fewer boards says little about how they lie to each other; it is then worth the time
 * to look for those that are small, covered or blurred.
 */
const fewBoards = 3;

/** One search after the other until there are enough boards. */
function lookForBoards(
  image: LumaImage,
  finder: TagFinder,
  map: PlaneMap,
  work: PatternWorkspace,
): Rescued {
  const searches = isSearchedAtHalfSize(image)
    ? [findTags, findSmallTags, findCoveredTags]
    : [findTags, findCoveredTags];
  let seen: Rescued = { boards: [], mirrored: [] };
  const shapes: Float64Array[] = [];
  for (const search of searches) {
    const findings = search(image, finder);
    seen = proveAll(image, findings, map, seen);
    if (seen.boards.length >= fewBoards) return seen;
    shapes.push(...findings.otherQuads);
  }
  shapes.push(...findDarkShapes(image, finder));
  const blurred = blurredBoards(image, shapes, seen.boards, map, work);
  return { ...seen, boards: [...seen.boards, ...blurred] };
}

/** Boards by their tags and by their rings, with what is known already first. */
function proveAll(image: LumaImage, search: TagFindings, map: PlaneMap, known: Rescued): Rescued {
  const boards = proveBoards(image, search.tags, map, known.boards);
  const rescued = rescueBoards(image, search.otherQuads, boards, map);
  return {
    boards: [...boards, ...rescued.boards],
    mirrored: [...known.mirrored, ...rescued.mirrored],
  };
}

const mirroredRemark = (id: number): Remark => ({
  code: "mirrored-print",
  values: { board: id },
  severity: "error",
  message: `The print of ${boardWords(id)} is a mirror image; it cannot be used.`,
  remedy: "Print the page again without the printer's mirror or iron-on setting.",
  about: `board ${id}`,
});

/**
 * Tags with the ring of checks around them, or that the whole-pattern fit has yet to prove; the same
 * board found twice counts once.
 */
function proveBoards(
  image: LumaImage,
  tags: readonly FoundTag[],
  map: PlaneMap,
  before: readonly ProvenBoard[],
): ProvenBoard[] {
  const boards = [...before];
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
function dropDuplicates(boards: readonly ProvenBoard[], remarks: Remark[]): ProvenBoard[] {
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
