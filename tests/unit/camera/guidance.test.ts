import { describe, expect, it } from "vitest";
import { project } from "../../../src/camera/lens.ts";
import { transform, type Vec3 } from "../../../src/geometry/pose.ts";
import { imaginedPose, photoCatalogue } from "../../../src/network/camera-step/guidance.ts";
import { calibrateCamera, cameraGuidance } from "../../../src/network/camera-step.ts";
import {
  chance,
  goodPlaces,
  inventPhone,
  photographAll,
  type SheetPlace,
} from "./simulated-phone.ts";

const noise = 0.05;

describe("imagined photos", () => {
  const r = chance(1);
  const { lens } = { ...inventPhone(r) };
  const straight = { ...lens, k1: 0, k2: 0, k3: 0, p1: 0, p2: 0, cx: 2015.5, cy: 1511.5 };

  it("are where their words say, seen from where they say", () => {
    let checked = 0;
    for (const photo of photoCatalogue) {
      const pose = imaginedPose(photo, straight, 4032, 3024);
      const [u, v] = project(straight, pose.t)!;
      if (photo.words.includes("left of the picture")) expect(u).toBeLessThan(1800);
      if (photo.words.includes("right of the picture")) expect(u).toBeGreaterThan(2200);
      if (photo.words.includes("top")) expect(v).toBeLessThan(1300);
      if (photo.words.includes("bottom")) expect(v).toBeGreaterThan(1700);
      // Seen from the left: the sheet's right side in the picture is the far one.
      const corners: Vec3[] = [
        [-80, -110, 0],
        [80, -110, 0],
        [80, 110, 0],
        [-80, 110, 0],
      ];
      const inCamera = corners.map((corner) => transform(pose, corner));
      const towards = { left: [1, 0], right: [-1, 0], above: [0, 1], below: [0, -1] };
      const side = Object.entries(towards).find(([word]) =>
        photo.words.includes(`from ${word === "left" || word === "right" ? `the ${word}` : word}`),
      )!;
      const along = inCamera.map((p) => p[0] * side[1][0] + p[1] * side[1][1]);
      const far = inCamera[along.indexOf(Math.max(...along))];
      const near = inCamera[along.indexOf(Math.min(...along))];
      expect(far[2]).toBeGreaterThan(near[2] + 50);
      checked++;
    }
    expect(checked).toBe(40);
  });
});

describe("cameraGuidance", () => {
  it("opens with fixed advice, a sentence per photo", () => {
    const r = chance(3);
    const photos = photographAll(inventPhone(r), goodPlaces(3, r), noise, r);
    const texts = [0, 1, 2, 3].map((n) => cameraGuidance(photos.slice(0, n)).text);
    expect(new Set(texts).size).toBe(4);
    for (const text of texts) expect(text.length).toBeGreaterThan(20);
  });

  it("asks for what is missing, and following it ends with a good lens", () => {
    const r = chance(5);
    const phone = inventPhone(r);
    const start: SheetPlace[] = [
      { tiltDeg: 3, towardsDeg: 0, rollDeg: 0, distanceMm: 420, x: 0, y: 0 },
      { tiltDeg: 35, towardsDeg: 270, rollDeg: 0, distanceMm: 420, x: 0, y: 0 },
      { tiltDeg: 35, towardsDeg: 90, rollDeg: 90, distanceMm: 420, x: 0, y: 0 },
      { tiltDeg: 35, towardsDeg: 0, rollDeg: 0, distanceMm: 420, x: -0.4, y: -0.4 },
    ];
    const places = [...start];
    const photos = [...photographAll(phone, places, noise, r)];
    const expected: number[] = [];
    let guidance = cameraGuidance(photos);
    while (!guidance.enough && photos.length < 20) {
      const { next, expectedMm, afterNextMm } = guidance;
      expect(next).not.toBeNull();
      expect(afterNextMm!).toBeLessThan(expectedMm!);
      expected.push(expectedMm!);
      // The simulated phone turns about an axis in the picture; the catalogue names the far side.
      const place: SheetPlace = {
        ...next!,
        towardsDeg: next!.towardsDeg - 90 + r.uniform(-8, 8),
        rollDeg: next!.rollDeg + r.uniform(-8, 8),
        distanceMm: 420,
      };
      const [photo] = photographAll(phone, [place], noise, r);
      photos.push({ ...photo, photo: `sheet-${photos.length + 1}.jpg` });
      guidance = cameraGuidance(photos);
    }
    expect(guidance.enough).toBe(true);
    expect(guidance.missingCorners).toEqual([]);
    expect(photos.length).toBeLessThanOrEqual(14);
    expect(guidance.text).toContain("at 4 m");
    expect(guidance.expectedMm!).toBeLessThan(0.2);
    expect(guidance.expectedMm!).toBeLessThan(expected[0]);
    const outcome = calibrateCamera(photos, { heldOut: false, effect: false });
    expect(outcome.ok && Math.abs(outcome.profile.lens.fx / phone.lens.fx - 1)).toBeLessThan(0.006);
  });

  it("says that a photo repeats an earlier one", () => {
    const r = chance(7);
    const phone = inventPhone(r);
    const place: SheetPlace = {
      tiltDeg: 20,
      towardsDeg: 0,
      rollDeg: 0,
      distanceMm: 420,
      x: 0,
      y: 0,
    };
    const photos = photographAll(phone, [place, place, { ...place, x: 0.4 }], noise, r);
    const remarks = cameraGuidance(photos).remarks.filter(({ code }) => code === "photo-alike");
    expect(remarks.map(({ about }) => about)).toEqual(["sheet-02.jpg"]);
  });
});
