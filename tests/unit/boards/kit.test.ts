import { expect, test } from "vitest";
import { boardWords, kitIds, roleOf, roleWords } from "../../../src/boards/kit.ts";
import { listRanges } from "../../../src/boards/pages/cover-page.ts";
import { papers, whiteHalfMm } from "../../../src/boards/pages/paper.ts";
import {
  isSheetMarkerId,
  sheetCorners,
  sheetId,
  sheetMarkers,
  sheetSquareIsBlack,
} from "../../../src/boards/sheet.ts";
import { sheetId as sheetIdOfFindings } from "../../../src/detect/findings/findings.ts";

test("roles of the design's table", () => {
  expect(kitIds.length).toBe(4 + 19 + 9 + 9 + 8);
  const words = [1, 2, 3, 4, 11, 29, 31, 39, 41, 49, 51, 52, 53, 58].map((id) =>
    roleWords(roleOf(id)!),
  );
  expect(words).toEqual([
    "Wheel plate, front left",
    "Wheel plate, front right",
    "Wheel plate, rear left",
    "Wheel plate, rear right",
    "Floor point 1",
    "Floor point 19",
    "Stand and target 1",
    "Stand and target 9",
    "Pointer 1",
    "Pointer 9",
    "Length bar 1, end 1",
    "Length bar 1, end 2",
    "Length bar 2, end 1",
    "Length bar 4, end 2",
  ]);
  for (const id of [0, 5, 10, 30, 40, 50, 59, 540, 1000, 1.5, -1, Number.NaN])
    expect(roleOf(id)).toBeNull();
  expect(boardWords(3)).toBe("board 3 (wheel plate, rear left)");
  expect(boardWords(77)).toBe("board 77");
});

test("the kit and the camera sheet share no id", () => {
  expect(kitIds.filter(isSheetMarkerId)).toEqual([]);
  expect(isSheetMarkerId(sheetId)).toBe(false);
  expect(sheetIdOfFindings).toBe(sheetId);
});

test("camera sheet: 54 corners, 35 markers in the white squares", () => {
  expect(sheetCorners.length).toBe(54);
  expect(sheetCorners[0]).toMatchObject({ index: 0, x: -2.5, y: 4, polarity: 1 });
  expect(sheetCorners[53]).toMatchObject({ index: 53, x: 2.5, y: -4 });
  expect(sheetMarkers.map((m) => m.id)).toEqual(Array.from({ length: 35 }, (_, i) => 540 + i));
  expect(sheetMarkers.every((m) => !sheetSquareIsBlack(m.row, m.col))).toBe(true);
});

test("every paper leaves one cell of white around the board", () => {
  for (const paper of Object.values(papers))
    expect(2 * whiteHalfMm(paper)).toBeLessThanOrEqual(paper.widthMm);
});

test("page ranges in words", () => {
  expect(listRanges([2, 3, 4, 7, 9, 10])).toBe("2-4, 7, 9-10");
  expect(listRanges([5])).toBe("5");
});
