/** Bad sets of sheet photos: what is wrong, which photo, what to do; and what does no harm. */
import { describe, expect, it } from "vitest";
import { sheetId } from "../../../src/boards/sheet.ts";
import { farDirectionDeg } from "../../../src/calibrate/guidance/photo-catalogue.ts";
import type { PhotoOutcome } from "../../../src/detect/findings/findings.ts";
import { guideCamera, learnCamera } from "../../../src/job/run/learn-camera.ts";
import {
  chance,
  goodPlaces,
  inventedExif,
  inventPhone,
  type PhotoTrouble,
  photographAll,
  type SimulatedPhone,
  type SimulatedSheetPhoto,
} from "./simulated-phone.ts";

const noise = 0.05;

const photosOf = (phone: SimulatedPhone, seed: number, count = 14, trouble: PhotoTrouble = {}) => {
  const r = chance(seed);
  return photographAll(phone, goodPlaces(count, r), noise, r, trouble);
};

const asOutcome = ({ photo, view, ...rest }: SimulatedSheetPhoto): PhotoOutcome => ({
  ok: true,
  findings: {
    ...rest,
    name: photo,
    boards: [{ ...view, id: sheetId }],
    remarks: [],
    timesMs: { decode: 0, find: 0, refine: 0 },
  },
});

const learn = (photos: readonly SimulatedSheetPhoto[]) => {
  const answer = learnCamera(photos.map(asOutcome), "2026-01-02");
  return {
    profile: answer.ok ? answer.camera.profile : null,
    remarks: answer.ok ? answer.camera.remarks : answer.remarks,
  };
};

/** The remarks with a code; each must say enough to act on. */
const said = (photos: readonly SimulatedSheetPhoto[], code: string) => {
  const remarks = learn(photos).remarks.filter((remark) => remark.code === code);
  for (const { message, remedy, about } of remarks) {
    expect(message.length).toBeGreaterThan(30);
    expect(remedy.length).toBeGreaterThan(20);
    if (about) expect(message).toContain(about);
  }
  return remarks;
};

const phone = inventPhone(chance(100));

describe("bad sets of sheet photos", () => {
  it("fewer than four: counts them, and the guidance asks for the next", () => {
    const photos = photosOf(phone, 1, 3);
    expect(said(photos, "too-few-photos")).toHaveLength(1);
    expect(learn(photos).profile).toBeNull();
    const guidance = guideCamera(photos.map(asOutcome));
    expect(guidance.advice.code).toBe("next-photo");
    expect(guidance.remarks.map(({ code }) => code)).not.toContain("too-few-photos");
  });

  it("all from one place: refused, and the guidance asks for another edge", () => {
    const r = chance(2);
    const places = goodPlaces(8, r).map((place) => ({
      ...place,
      tiltDeg: 35,
      // The simulated phone names the axis of the turn, a quarter before the far direction.
      towardsDeg: farDirectionDeg.left - 90,
      rollDeg: 0,
      x: 0,
      y: 0,
    }));
    const photos = photographAll(phone, places, noise, r);
    expect(said(photos, "all-from-one-place")).toHaveLength(1);
    const { advice, next } = guideCamera(photos.map(asOutcome));
    expect(advice.code).toBe("next-photo");
    expect(next?.nearEdge).toBe("right");
  });

  it("a bent sheet: says by how much and what to do", () => {
    const [remark] = said(photosOf(phone, 3, 14, { bendMm: 4 }), "sheet-bent");
    expect(remark.message).toMatch(/[34]\.\d mm/);
  });

  it("one photo with the sheet bent otherwise is left out by name", () => {
    const photos = photosOf(phone, 4);
    const bent = photosOf(phone, 4, 14, { bendMm: 6 });
    const mixed = photos.map((photo, i) => (i === 5 ? bent[5] : photo));
    const { remarks } = learn(mixed);
    expect(remarks.filter(({ about }) => about === "sheet-06.jpg").length).toBeGreaterThan(0);
  });

  it("a sheet of another size does no harm: the lens is the same", () => {
    const plain = learn(photosOf(phone, 5)).profile;
    const smaller = photosOf(phone, 5).map((photo, i) => ({
      ...photo,
      view: {
        ...photo.view,
        // What was printed at 80 or 100 % is taken for the designed size.
        boardPoints: photo.view.boardPoints.map((v) => v * (i % 2 ? 0.8 : 1)),
      },
    }));
    const other = learn(smaller).profile;
    if (!plain || !other) throw new Error("both sets must give a lens");
    const sd = Math.sqrt(plain.covariance[0]);
    expect(Math.abs(plain.lens.fx - other.lens.fx)).toBeLessThan(0.1 * sd);
  });

  it("half the sheet covered: named, the rest used", () => {
    const half = photosOf(phone, 6, 14, { keeps: (row) => row <= 4 });
    const photos = photosOf(phone, 6).map((photo, i) => (i === 3 ? half[3] : photo));
    expect(said(photos, "sheet-partly-seen").map(({ about }) => about)).toContain("sheet-04.jpg");
    expect(learn(photos).profile?.photos).toBe(14);
  });

  it("a mirrored lamp: named as such, not as a covered sheet", () => {
    const missing = (row: number, col: number) => row < 2 || row > 5 || col < 3;
    const glare = photosOf(phone, 7, 14, { keeps: missing });
    const photos = photosOf(phone, 7).map((photo, i) => {
      if (i !== 2) return photo;
      const { view } = glare[2];
      return { ...photo, view: { ...view, quality: { ...view.quality, burntFeatures: 9 } } };
    });
    expect(said(photos, "sheet-reflects").map(({ about }) => about)).toEqual(["sheet-03.jpg"]);
    expect(said(photos, "sheet-partly-seen").map(({ about }) => about)).not.toContain(
      "sheet-03.jpg",
    );
    const { remarks } = guideCamera(photos.map(asOutcome));
    expect(remarks.filter(({ code }) => code === "sheet-reflects")).toHaveLength(1);
  });

  it("two phones mixed, with EXIF and without", () => {
    const other: SimulatedPhone = {
      ...phone,
      lens: { ...phone.lens, fx: phone.lens.fx * 1.08, fy: phone.lens.fy * 1.08 },
    };
    const foreign = photosOf(other, 8).map((photo) => ({
      ...photo,
      exif: inventedExif({ model: "Phone Two" }),
    }));
    const mixed = photosOf(phone, 8).map((photo, i) => (i % 4 === 1 ? foreign[i] : photo));
    const names = ["sheet-02.jpg", "sheet-06.jpg", "sheet-10.jpg", "sheet-14.jpg"];
    expect(said(mixed, "photo-of-another-phone").map(({ about }) => about)).toEqual(names);
    const stripped = mixed.map((photo) => ({ ...photo, exif: null }));
    const zoomed = said(stripped, "photo-zoomed").map(({ about }) => about);
    expect([...zoomed].sort()).toEqual(names);
    expect(learn(stripped).profile?.photos).toBe(10);
  });

  it("a photo that lost its EXIF is left out as such", () => {
    const photos = photosOf(phone, 12).map((photo, i) =>
      i === 7 ? { ...photo, exif: null } : photo,
    );
    const [remark] = said(photos, "photo-of-unknown-phone");
    expect(remark.about).toBe("sheet-08.jpg");
    expect(remark.message).toContain("EXIF");
    expect(learn(photos).profile?.photos).toBe(13);
  });

  it("photos of other sizes and orientations are left out by name", () => {
    const photos = photosOf(phone, 9).map((photo, i) => {
      if (i === 1) return { ...photo, width: 3024, height: 4032 };
      return i === 2 ? { ...photo, width: 2016, height: 1512 } : photo;
    });
    const [turned, small] = said(photos, "photo-of-another-size");
    expect(turned.about).toBe("sheet-02.jpg");
    expect(turned.message).toContain("turned");
    expect(small.about).toBe("sheet-03.jpg");
    expect(learn(photos).profile?.photos).toBe(12);
  });

  it("computed pictures among the sheet photos are left out by name", () => {
    const photos = photosOf(phone, 10).map((photo, i) =>
      i === 4 ? { ...photo, exif: inventedExif({ customRendered: 7 }) } : photo,
    );
    expect(said(photos, "photo-portrait").map(({ about }) => about)).toEqual(["sheet-05.jpg"]);
    expect(learn(photos).profile?.photos).toBe(13);
  });

  it("a file that is no photo, and one without the sheet, are named in the guidance", () => {
    const remark = (code: "unreadable" | "no-sheet", name: string) => ({
      code,
      severity: "error" as const,
      message: `${name}: cannot be used.`,
      remedy: "Take it again.",
      about: name,
    });
    const outcomes: PhotoOutcome[] = [
      ...photosOf(phone, 11, 2).map(asOutcome),
      { ok: false, name: "a.jpg", remark: remark("unreadable", "a.jpg") },
    ];
    const { remarks, counted } = guideCamera(outcomes);
    expect(counted).toBe(2);
    expect(remarks.map(({ about }) => about)).toEqual(["a.jpg"]);
  });
});
