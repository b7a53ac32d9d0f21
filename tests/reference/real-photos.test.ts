/**
 * Real photos and a published adjustment through the engine; sources in tests/real. Without the folder
 * ../shared/real-photos the tests say so and are skipped.
 */
import { existsSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, test } from "vitest";
import { compareWithReport, readReport } from "../real/bundle-report.ts";
import { compareHalves } from "../real/halves.ts";
import { leaveOneOut } from "../real/leave-out.ts";
import { readRoom, roomViews } from "../real/room.ts";
import { readSurvey } from "../real/surveyed.ts";

const folder = join(import.meta.dirname, "../../../shared/real-photos");
const here = existsSync(folder);
if (!here) console.log(`No folder ${folder}: real photos are not tested.`);

describe.skipIf(!here)("real photos", () => {
  // Published: github applied-geodesy/bundle-adjustment at a267093, JAICOV/example/example.htm.
  test("a published free-network adjustment comes out within 1 micrometre and 1 %", () => {
    const report = compareWithReport(readReport(join(folder, "bundle-report")));
    expect(report.points).toBe(150);
    expect(report.imagePoints).toBe(9972);
    expect(report.s0).toBeGreaterThan(0.000405);
    expect(report.s0).toBeLessThan(0.000406);
    expect(report.worstMm).toBeLessThan(0.001);
    expect(report.worstSdBeyondDigits).toBeLessThan(0.01);
    // The start values were disturbed by up to 2 mm: an answer that is not found would show.
    expect(report.iterations).toBeGreaterThan(2);
  });

  // Our own trial with plain AprilTag corners and without motion gave 12.8 mm.
  test("two halves of the photos of a room agree, and the motion model is what makes them", async () => {
    const room = readRoom(join(folder, "room-of-tags"));
    const views = await roomViews(room);
    const even = (photo: number): boolean => photo % 2 === 0;
    const split = compareHalves(room, views, even);
    expect(split.pairs).toBe(190);
    expect(split.rmsMm).toBeLessThan(6);
    expect(split.coverage95).toBeGreaterThan(0.9);
    const still = compareHalves(room, views, even, { motion: false });
    expect(still.rmsMm).toBeGreaterThan(1.5 * split.rmsMm);
  });

  // The survey's own accuracy is not published: it is estimated with the image's, and widens all regions.
  test("surveyed markers lie where the other five say, within what these say they know", async () => {
    const left = leaveOneOut(await readSurvey(join(folder, "surveyed-markers")));
    expect(left).toHaveLength(11);
    // One of eleven regions of 95 % may miss (43 in 100 sets would have one).
    expect(left.filter(({ inside }) => inside).length).toBeGreaterThanOrEqual(10);
    // Even an image and a survey ten times better would leave more than a millimetre in each.
    for (const { allowedMm, statedMm } of left) {
      expect(allowedMm).toBeGreaterThan(1);
      expect(statedMm).toBeLessThan(70);
    }
  });
});
