import { loadOpenCV } from "@opencvjs/web";
import { expect, it } from "vitest";
import { sheetCorners } from "../../../src/boards/sheet.ts";
import { findBoards } from "../../../src/detect/find-boards.ts";
import { boardTagFinder, sheetTagFinder } from "../../../src/detect/tags/opencv-tag-finder.ts";
import { learnCamera } from "../../../src/job/run/learn-camera.ts";
import { solveJob } from "../../../src/job/solve/solve.ts";
import { inventedBay } from "../../../workers/shared/warm-up-bay.ts";
import {
  inventedLens,
  inventedPicture,
  inventedSheetPhotos,
} from "../../../workers/shared/warm-up-pictures.ts";

it("warms up on pictures that show boards and sheet, so that the whole way is gone", async () => {
  const cv = (await loadOpenCV()) as never;
  const boards = findBoards(inventedPicture("boards"), boardTagFinder(cv), {
    what: "boards",
  });
  expect(boards.boards.map(({ id }) => id).sort()).toEqual([1, 2, 3]);
  const { boards: sheets } = findBoards(inventedPicture("sheet"), sheetTagFinder(cv), {
    what: "sheet",
  });
  expect(sheets.length).toBe(1);
  expect(sheets[0].pixels.length / 2).toBeGreaterThan(sheetCorners.length / 4);
});

it("warms up the camera step on photos that determine a lens", () => {
  const answer = learnCamera(inventedSheetPhotos(), "2000-01-01T00:00:00Z");
  if (!answer.ok) throw new Error(answer.remarks.map(({ message }) => message).join(" "));
  // The lens that the photos were projected with.
  expect(Math.abs(answer.camera.profile.lens.fx / inventedLens.fx - 1)).toBeLessThan(0.02);
});

it("warms up the solver on a bay that comes to a verdict", () => {
  const camera = learnCamera(inventedSheetPhotos(), "2000-01-01T00:00:00Z");
  if (!camera.ok) throw new Error("no lens");
  const answer = solveJob(inventedBay(camera.camera));
  if (!answer.ok) throw new Error(answer.remarks.map(({ message }) => message).join(" "));
  const [distance, , height] = answer.result.checks;
  expect(Math.abs(distance.measured - 2500)).toBeLessThan(2);
  expect(Math.abs(height.measured - 1180)).toBeLessThan(2);
});
