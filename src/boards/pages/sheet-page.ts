/** The camera sheet on one page. */

import { tagBlackRuns } from "../pattern.ts";
import {
  sheetColumns,
  sheetFirstMarkerId,
  sheetMarkerBitCells,
  sheetMarkerCount,
  sheetMarkerMm,
  sheetMarkers,
  sheetPoint,
  sheetRows,
  sheetSquareIsBlack,
  sheetSquareMm,
} from "../sheet.ts";
import {
  drawHorizontalBar,
  drawUpMark,
  drawVerticalBar,
  type PageNumber,
  pageWords,
  smallPt,
} from "./page-parts.ts";
import { barWords, type Paper, sheetPageLayout } from "./paper.ts";
import type { Pen } from "./pen.ts";

/** Draws the camera sheet in the middle of a page, with check bars and words. */
export function drawSheetPage(pen: Pen, paper: Paper, number: PageNumber): void {
  const layout = sheetPageLayout(paper);
  drawSheet(pen);
  drawHorizontalBar(pen, paper, layout);
  drawVerticalBar(pen, layout);
  drawWords(pen, paper, number);
}

function drawSheet(pen: Pen): void {
  pen.fill([...squares(), ...markers()].map((p) => p.map((c) => c * sheetSquareMm)));
}

function* squares(): Generator<number[]> {
  for (let row = 0; row < sheetRows; row++)
    for (let col = 0; col < sheetColumns; col++)
      if (sheetSquareIsBlack(row, col)) {
        const [left, top] = sheetPoint(row, col);
        yield [left, top, left + 1, top, left + 1, top - 1, left, top - 1];
      }
}

function* markers(): Generator<number[]> {
  const bit = sheetMarkerBitCells;
  for (const marker of sheetMarkers) {
    const [left, top] = [marker.corners[0], marker.corners[1]];
    for (const { row, col, length } of tagBlackRuns(marker.id)) {
      const [l, r, t, b] = [col, col + length, row, row + 1];
      yield [
        [l, t],
        [r, t],
        [r, b],
        [l, b],
      ].flatMap(([x, y]) => [left + x * bit, top - y * bit]);
    }
  }
}

function drawWords(pen: Pen, paper: Paper, number: PageNumber): void {
  const halfWidth = (sheetColumns / 2) * sheetSquareMm;
  const halfHeight = (sheetRows / 2) * sheetSquareMm;
  const small = { sizePt: smallPt };
  pen.text(pen.words.cameraSheet, -halfWidth, halfHeight + 4.2, { sizePt: 12, bold: true });
  drawUpMark(pen, -10, halfHeight + 3.6, 4.5);
  const last = sheetFirstMarkerId + sheetMarkerCount - 1;
  const what = pen.words.sheetWhat(sheetSquareMm, sheetMarkerMm, sheetFirstMarkerId, last);
  pen.text(what, halfWidth, halfHeight + 6.6, { sizePt: 6, align: "right" });
  pen.text(`${pageWords(pen, paper, number)}. ${pen.words.fullSize}`, halfWidth, halfHeight + 3.8, {
    sizePt: 6,
    align: "right",
  });
  const { horizontal, vertical } = sheetPageLayout(paper);
  const upLabel = pen.words.barUp(barWords(paper, vertical.lengthMm));
  pen.text(upLabel, vertical.atMm + 3.4, 0, { ...small, align: "centre", upward: true });
  pen.text(pen.words.safety, halfWidth, horizontal.atMm + 1.2, { ...small, align: "right" });
}
