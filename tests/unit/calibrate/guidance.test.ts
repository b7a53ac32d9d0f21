import { describe, expect, it } from "vitest";
import { calibrateCamera, cameraGuidance } from "../../../src/calibrate/camera-step.ts";
import { photoAsShown } from "../../../src/calibrate/guidance/advice.ts";
import {
  farDirectionDeg,
  imaginedOutline,
  imaginedPose,
  nearSide,
  photoCatalogue,
} from "../../../src/calibrate/guidance/photo-catalogue.ts";
import { project } from "../../../src/lens/lens.ts";
import { transform } from "../../../src/maths/pose.ts";
import {
  chance,
  goodPlaces,
  inventedExif,
  inventPhone,
  photographAll,
  type SheetPlace,
} from "./simulated-phone.ts";

const noise = 0.05;

describe("imagined photos", () => {
  const r = chance(1);
  const { lens } = { ...inventPhone(r) };
  const straight = { ...lens, k1: 0, k2: 0, k3: 0, p1: 0, p2: 0, cx: 2015.5, cy: 1511.5 };

  it("are where their words say, with the near edge nearest, whole in the picture", () => {
    let checked = 0;
    for (const photo of photoCatalogue) {
      const pose = imaginedPose(photo, straight, 4032, 3024);
      const [u, v] = project(straight, pose.t)!;
      if (photo.place.includes("left")) expect(u).toBeLessThan(1800);
      if (photo.place.includes("right")) expect(u).toBeGreaterThan(2200);
      if (photo.place.includes("top")) expect(v).toBeLessThan(1300);
      if (photo.place.includes("bottom")) expect(v).toBeGreaterThan(1700);
      const outline = imaginedOutline(photo, straight, 4032, 3024);
      expect(outline).toHaveLength(8);
      expect(Math.min(...outline)).toBeGreaterThan(0);
      const us = outline.filter((_, i) => i % 2 === 0);
      const vs = outline.filter((_, i) => i % 2 === 1);
      expect(Math.max(...us)).toBeLessThan(4032);
      expect(Math.max(...vs)).toBeLessThan(3024);
      // Top left to top right of the sheet: along the picture where it stands upright.
      const lying = Math.abs(vs[1] - vs[0]) > Math.abs(us[1] - us[0]);
      expect(lying).toBe(photo.turned);
      // The corner that lies outermost towards the near edge is nearer than its opposite.
      const depths = [
        [-87.5, 125],
        [87.5, 125],
        [87.5, -125],
        [-87.5, -125],
      ].map(([x, y]) => transform(pose, [x, y, 0])[2]);
      const along = { left: us.map((x) => -x), right: us, top: vs.map((y) => -y), bottom: vs }[
        photo.nearEdge
      ];
      const near = along.indexOf(Math.max(...along));
      const far = along.indexOf(Math.min(...along));
      expect(depths[near]).toBeLessThan(depths[far] - 50);
      const side = nearSide(photo)!;
      const others = [0, 1, 2, 3].filter((k) => k !== side && k !== (side + 1) % 4);
      for (const k of [side, (side + 1) % 4])
        for (const other of others) expect(depths[k]).toBeLessThan(depths[other] - 50);
      checked++;
    }
    expect(checked).toBe(40);
  });
});

describe("cameraGuidance", () => {
  it("opens with advice of its own for each of the first photos", () => {
    const r = chance(3);
    const photos = photographAll(inventPhone(r), goodPlaces(3, r), noise, r);
    const opening = [0, 1, 2, 3].map((n) => cameraGuidance(photos.slice(0, n)));
    expect(opening.map(({ advice }) => advice.code)).toEqual([
      "first-photo",
      "next-photo",
      "next-photo",
      "next-photo",
    ]);
    expect(opening.map(({ counted }) => counted)).toEqual([0, 1, 2, 3]);
    expect(new Set(opening.map(({ text }) => text)).size).toBe(4);
    for (const { enough, expectedMm, frame } of opening) {
      expect(enough).toBe(false);
      expect(expectedMm).toBeNull();
      expect(frame.outline).toHaveLength(8);
    }
  });

  it("asks next for the edge that no phone stood over", () => {
    const r = chance(13);
    const phone = inventPhone(r);
    for (const [seen, asked] of [
      ["left", "right"],
      ["right", "left"],
      ["top", "bottom"],
      ["bottom", "top"],
    ] as const) {
      const place: SheetPlace = {
        tiltDeg: 35,
        towardsDeg: farDirectionDeg[seen] - 90,
        rollDeg: 0,
        distanceMm: 420,
        x: 0,
        y: 0,
      };
      const photos = photographAll(phone, [place], noise, r);
      expect(cameraGuidance(photos).next?.nearEdge).toBe(asked);
    }
  });

  it("speaks of the picture as the phone shows it where it was held upright", () => {
    const r = chance(17);
    const phone = inventPhone(r);
    const places = goodPlaces(14, r).filter(({ x }) => x > -0.2);
    const stored = photographAll(phone, places, noise, r);
    expect(cameraGuidance(stored).missingCorners).toEqual(["top left", "bottom left"]);
    // EXIF 6: shown turned a quarter clockwise; 3 by a half; 8 by a quarter the other way.
    for (const [orientation, shown] of [
      [1, ["top left", "bottom left"]],
      [6, ["top right", "top left"]],
      [3, ["bottom right", "top right"]],
      [8, ["bottom left", "bottom right"]],
    ] as const) {
      const turned = stored.map((photo) => ({ ...photo, exif: inventedExif({ orientation }) }));
      const guidance = cameraGuidance(turned);
      expect(guidance.missingCorners).toEqual(["top left", "bottom left"]);
      expect(guidance.advice.corners).toEqual(shown);
    }
  });

  it("names place, near edge and turn of the sheet as the phone shows them", () => {
    const stored = { place: "top left", nearEdge: "left", turned: false, tiltDeg: 35 } as const;
    const upright = photoAsShown(stored, 1);
    expect(upright).toEqual({ place: "top right", nearEdge: "top", turned: true, tiltDeg: 35 });
    expect(photoAsShown(stored, 0)).toEqual(stored);
    expect(photoAsShown(photoAsShown(stored, 1), 3)).toEqual(stored);
  });

  it("does not count photos that were left out", () => {
    const r = chance(19);
    const photos = photographAll(inventPhone(r), goodPlaces(9, r), noise, r).map((photo, i) =>
      i > 5 ? { ...photo, exif: inventedExif({ model: "Phone Two" }) } : photo,
    );
    const guidance = cameraGuidance(photos);
    expect(guidance.counted).toBe(6);
    expect(guidance.enough).toBe(false);
    expect(guidance.remarks.filter(({ code }) => code === "photo-of-another-phone")).toHaveLength(
      3,
    );
  });

  it("asks for other sides where all photos are face on, and to check where none fit", () => {
    const r = chance(23);
    const phone = inventPhone(r);
    const flat = goodPlaces(6, r).map((place) => ({ ...place, tiltDeg: 2, x: 0, y: 0 }));
    const faceOn = cameraGuidance(photographAll(phone, flat, noise, r));
    expect(faceOn.advice.code).toBe("next-photo");
    expect(faceOn.next!.tiltDeg).toBeGreaterThanOrEqual(30);
    expect(faceOn.remarks.map(({ code }) => code)).toContain("no-tilt");
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
      // The simulated phone turns about an axis in the picture; the catalogue names the near edge.
      const { t } = imaginedPose(next!, phone.lens, phone.width, phone.height);
      const place: SheetPlace = {
        tiltDeg: next!.tiltDeg,
        towardsDeg: farDirectionDeg[next!.nearEdge] - 90 + r.uniform(-8, 8),
        rollDeg: (next!.turned ? 90 : 0) + r.uniform(-8, 8),
        distanceMm: t[2],
        x: (t[0] * phone.lens.fx) / t[2] / (phone.width / 2),
        y: (t[1] * phone.lens.fy) / t[2] / (phone.height / 2),
      };
      const [photo] = photographAll(phone, [place], noise, r);
      photos.push({ ...photo, photo: `sheet-${photos.length + 1}.jpg` });
      guidance = cameraGuidance(photos);
    }
    expect(guidance.enough).toBe(true);
    expect(guidance.missingCorners).toEqual([]);
    expect(photos.length).toBeLessThanOrEqual(14);
    expect(guidance.advice).toEqual({ code: "good-enough", photo: null, corners: [] });
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
