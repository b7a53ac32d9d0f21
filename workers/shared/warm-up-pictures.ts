/**
 * Invented input for warm-up runs. A JavaScript engine compiles code properly only after it has
 * run for a while: the first photos take five to ten times as long as later ones. A worker that has
 * warmed up while photos are being picked examines the first one as fast as the tenth.
 */
import { cellIsBlack, tagCellIsBlack } from "../../src/boards/pattern.ts";
import {
  sheetColumns,
  sheetId,
  sheetMarkerBitCells,
  sheetMarkers,
  sheetRows,
  sheetSquareIsBlack,
  sheetSquareMm,
} from "../../src/boards/sheet.ts";
import type { PhotoOutcome } from "../../src/detect/findings/findings.ts";
import { type Lens, project } from "../../src/lens/lens.ts";
import { expRotation, type Pose, radians, transform, type Vec3 } from "../../src/maths/pose.ts";
import type { LumaImage } from "../../src/photo/grey/luma.ts";

/** Size of the invented picture: large enough to be searched at half size like a photo. */
const [width, height] = [1024, 768];
const [paper, ink, wall] = [210, 40, 120];

/** Lens of the invented findings, px. */
export const inventedLens: Lens = {
  fx: 800,
  fy: 800,
  cx: 511.5,
  cy: 383.5,
  k1: 0.05,
  k2: -0.08,
  p1: 0,
  p2: 0,
  k3: 0,
};

/** Three boards, or one half of the camera sheet, a little turned; edges soft by four samples a pixel. */
export function inventedPicture(what: "boards" | "sheet"): LumaImage {
  const greyAt = what === "boards" ? boardsGrey : sheetGrey;
  const data = new Uint8Array(width * height);
  const [c, s] = [Math.cos(radians(3)), Math.sin(radians(3))];
  for (let y = 0, at = 0; y < height; y++)
    for (let x = 0; x < width; x++, at++) {
      let sum = 0;
      for (let k = 0; k < 4; k++) {
        const dx = x - width / 2 + (k & 1) / 2 - 0.25;
        const dy = y - height / 2 + (k >> 1) / 2 - 0.25;
        sum += greyAt(c * dx + s * dy, c * dy - s * dx);
      }
      // The last bit stands for noise: a fit to a perfect picture would stop early.
      data[at] = sum / 4 + ((x * 7 + y * 13) % 5);
    }
  return { width, height, data };
}

/** Three boards of 7 px a cell, as in a photo of a bay, beside each other. */
function boardsGrey(x: number, y: number): number {
  const [cell, pitch] = [7, 140];
  const column = Math.floor(x / pitch + 1.5);
  if (column < 0 || column > 2) return wall;
  const u = Math.floor((x - (column - 1) * pitch) / cell + 7);
  const v = Math.floor(y / cell + 7);
  if (u < -1 || u > 14 || v < -1 || v > 14) return wall;
  return cellIsBlack(1 + column, v, u) ? ink : paper;
}

/** Half the markers are found by the same code in half the time. */
const rowsDrawn = sheetRows / 2;

/** The first half of the sheet, which lies on its side, 40 px a square. */
function sheetGrey(x: number, y: number): number {
  const [u, v] = [sheetColumns / 2 - y / 40, sheetRows / 2 + x / 40];
  const [column, row] = [Math.floor(u), Math.floor(v)];
  if (column < 0 || column >= sheetColumns || row < 0 || row >= rowsDrawn) return paper;
  if (sheetSquareIsBlack(row, column)) return ink;
  const bitColumn = Math.floor((u - column - 0.5) / sheetMarkerBitCells + 4);
  const bitRow = Math.floor((v - row - 0.5) / sheetMarkerBitCells + 4);
  if (bitColumn < 0 || bitColumn > 7 || bitRow < 0 || bitRow > 7) return paper;
  // White squares alternate with black ones and carry the markers in order.
  const marker = sheetMarkers[(row * sheetColumns + column) >> 1];
  return tagCellIsBlack(marker.id, bitRow, bitColumn) ? ink : paper;
}

/** What examining six photos of the sheet would have found: exact projections, a little shaken. */
export function inventedSheetPhotos(): PhotoOutcome[] {
  return Array.from({ length: 6 }, (_, photo) => {
    const turn: Vec3 = [Math.PI + 0.5 * Math.sin(2.1 * photo), 0.5 * Math.cos(1.7 * photo), 0];
    const cameraFromSheet: Pose = {
      R: expRotation(turn),
      t: [20 * Math.sin(photo), 20 * Math.cos(3 * photo), 300 + 12 * photo],
    };
    const board: number[] = [];
    const pixels: number[] = [];
    for (const { x, y } of sheetMarkers) {
      const seen = transform(cameraFromSheet, [x * sheetSquareMm, y * sheetSquareMm, 0]);
      const pixel = project(inventedLens, seen);
      if (!pixel) continue;
      const [px, py] = pixel;
      board.push(x, y);
      pixels.push(px + 0.02 * Math.sin(9 * x + photo), py + 0.02 * Math.cos(7 * y + photo));
    }
    return {
      ok: true,
      findings: {
        name: `practice ${photo}`,
        width,
        height,
        exif: null,
        boards: [
          {
            id: sheetId,
            boardPoints: Float64Array.from(board),
            pixels: Float64Array.from(pixels),
            noise: { kind: "isotropic", sigmaPx: 0.02 },
            outline: new Float64Array(8),
            quality: {
              grade: "good",
              reasons: [],
              cellPx: 10,
              obliquityDeg: 30,
              blurPx: 1,
              contrast: 150,
              coveredShare: 0,
              residualPx: 0.02,
            },
          },
        ],
        remarks: [],
        timesMs: { decode: 0, find: 0, refine: 0 },
      },
    };
  });
}
