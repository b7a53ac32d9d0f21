import { expect, test } from "vitest";
import { lensFromOwnPhotos } from "../../../src/job/problem/own-photos.ts";
import { simulateSample } from "../../tools/simulated-job.ts";

// The design's 8 px belong to a picture 4032 px wide; the same movement of the lens is twice as
// many pixels in a picture twice as wide.
test("the general shift of the principal point goes with the size of the picture", () => {
  const { photos } = simulateSample();
  const shiftAt = (times: number): number => {
    const enlarged = photos.map((photo) =>
      photo.ok
        ? {
            ok: true as const,
            findings: {
              ...photo.findings,
              width: 4032 * times,
              height: 3024 * times,
            },
          }
        : photo,
    );
    return lensFromOwnPhotos(enlarged)!.profile.spread.shiftSdPx;
  };
  expect(Math.abs(shiftAt(1) - 8)).toBeLessThan(1e-9);
  expect(Math.abs(shiftAt(2) - 16)).toBeLessThan(1e-9);
});
