import { describe, expect, it } from "vitest";
import { z } from "zod";
import { matchPhoto, type PhotoIdentity } from "../../../src/lens/identity.ts";
import { project } from "../../../src/lens/lens.ts";
import {
  type CameraProfile,
  covarianceIsSound,
  profileSchema,
  readProfile,
} from "../../../src/lens/profile.ts";
import { scaleLens } from "../../../src/lens/scale.ts";
import { inventedExif } from "../calibrate/simulated-phone.ts";

const lens = {
  fx: 3000,
  fy: 3002,
  cx: 2010,
  cy: 1500,
  k1: -0.05,
  k2: 0.02,
  p1: 1e-4,
  p2: -2e-4,
  k3: 0,
};
const sd = [2, 2, 3, 3, 1e-3, 2e-3, 1e-5, 1e-5, 0];
const covariance = sd.flatMap((a, i) => sd.map((b, j) => (i === j ? a * b : 0)));

const profile: CameraProfile = {
  format: "plumbshot-camera",
  version: 1,
  identity: {
    make: "Invented",
    model: "Phone One",
    lensModel: "Phone One back camera",
    focalLengthMm: 5.7,
    focalLength35mm: 26,
    digitalZoom: 1,
    width: 4032,
    height: 3024,
  },
  lens,
  covariance,
  estimated: {
    fx: true,
    fy: true,
    cx: true,
    cy: true,
    k1: true,
    k2: true,
    p1: true,
    p2: true,
    k3: false,
  },
  model: "k1 k2 p1 p2",
  spread: { focalSd: 0.002, shiftSdPx: 6, focalFromPhotos: 8, shiftFromPhotos: 12 },
  residualPx: 0.05,
  heldOutPx: 0.06,
  photos: 14,
  coverage: { columns: 2, rows: 1, counts: [4, 5], share: 1, tiltDeg: [20, 30] },
  effectAt4mMm: 0.2,
  calibratedAt: "2026-01-02T03:04:05Z",
  notes: [],
};

const photo = (changes: Partial<PhotoIdentity> = {}): PhotoIdentity => ({
  name: "IMG_1.jpg",
  width: 4032,
  height: 3024,
  exif: inventedExif(),
  ...changes,
});

const refusal = (changes: Partial<PhotoIdentity>): string => {
  const match = matchPhoto(profile, photo(changes));
  if (match.kind !== "refused") return match.kind;
  expect(match.remark.about).toBe("IMG_1.jpg");
  expect(match.remark.message).toContain("IMG_1.jpg");
  expect(match.remark.remedy.length).toBeGreaterThan(10);
  return match.code;
};

describe("matching a photo to a profile", () => {
  it("accepts the same phone, lens and size as it is", () => {
    const match = matchPhoto(profile, photo());
    expect(match.kind).toBe("same");
    if (match.kind === "refused") return;
    expect(match.remarks).toHaveLength(0);
    expect(match.lens).toEqual(lens);
  });

  it.each([
    ["other-phone", { exif: inventedExif({ model: "Phone Two" }) }],
    ["other-phone", { exif: inventedExif({ make: "Made Up" }) }],
    ["other-lens", { exif: inventedExif({ focalLengthMm: 2.2, focalLength35mm: 13 }) }],
    ["other-lens", { exif: inventedExif({ lensModel: "Phone One front camera" }) }],
    ["digital-zoom", { exif: inventedExif({ digitalZoom: 1.5 }) }],
    ["digital-zoom", { exif: inventedExif({ focalLength35mm: 52 }) }],
    ["cropped", { width: 4032, height: 2268 }],
    ["cropped", { width: 3024, height: 3024 }],
    ["turned", { width: 3024, height: 4032 }],
    ["turned", { width: 1200, height: 1600, exif: null }],
    ["screenshot", { width: 1170, height: 2532, exif: null }],
    [
      "screenshot",
      {
        width: 1080,
        height: 2400,
        exif: inventedExif({
          make: null,
          model: null,
          lensModel: null,
          focalLengthMm: null,
          focalLength35mm: null,
        }),
      },
    ],
    ["panorama", { width: 9000, height: 2600 }],
    ["panorama", { exif: inventedExif({ customRendered: 6 }) }],
    ["portrait", { exif: inventedExif({ customRendered: 7 }) }],
    ["portrait", { exif: inventedExif({ customRendered: 8 }) }],
    ["enlarged", { width: 8064, height: 6048 }],
    ["other-size", { width: 5712, height: 3024 }],
  ] as [string, Partial<PhotoIdentity>][])("refuses %s", (code, changes) => {
    expect(refusal(changes)).toBe(code);
  });

  it("uses a photo without EXIF of the right size, with a warning", () => {
    const match = matchPhoto(profile, photo({ exif: null }));
    if (match.kind === "refused") throw new Error(match.code);
    expect(match.remarks.map((r) => r.code)).toEqual(["exif-missing"]);
  });

  it.each([0, 1, 2, 3])("uses a photo of ordinary rendering %i as it is", (customRendered) => {
    const match = matchPhoto(profile, photo({ exif: inventedExif({ customRendered }) }));
    expect(match).toMatchObject({ kind: "same", remarks: [] });
  });

  it("says where the file has another size than the camera wrote, in either order of sides", () => {
    const shrunk = photo({ exif: inventedExif({ exifWidth: 8064, exifHeight: 6048 }) });
    const match = matchPhoto(profile, shrunk);
    if (match.kind !== "same") throw new Error(match.kind);
    expect(match.remarks.map(({ code }) => code)).toEqual(["photo-size-contradicts"]);
    expect(match.remarks[0].message).toContain("cropped or resized");
    const asShown = photo({ exif: inventedExif({ exifWidth: 3024, exifHeight: 4032 }) });
    expect(matchPhoto(profile, asShown)).toMatchObject({ remarks: [] });
  });

  it("takes zoom 0 in the EXIF as no zoom", () => {
    expect(matchPhoto(profile, photo({ exif: inventedExif({ digitalZoom: 0 }) })).kind).toBe(
      "same",
    );
  });

  it("scales the lens for a smaller copy and adds the doubt of the resize", () => {
    const match = matchPhoto(profile, photo({ width: 1600, height: 1200 }));
    if (match.kind !== "resized") throw new Error(match.kind);
    const s = 1600 / 4032;
    expect(Math.abs(match.lens.fx - 3000 * s)).toBeLessThan(1e-9);
    expect(match.remarks.map(({ message }) => message).join()).toContain("cropped");
    expect(Math.abs(match.shiftSdPx - 6 * s)).toBeLessThan(1e-3);
    expect(match.covariance[0]).toBeGreaterThan((2 * s) ** 2);
    expect(match.covariance[20]).toBeGreaterThan((3 * s) ** 2);
    expect(covarianceIsSound([...match.covariance])).toBe(true);
    const stripped = matchPhoto(profile, photo({ width: 1600, height: 1200, exif: null }));
    expect(stripped.kind !== "refused" && stripped.remarks.map(({ code }) => code)).toEqual([
      "exif-missing",
      "photo-resized",
    ]);
  });
});

describe("scaleLens", () => {
  it("keeps pixel areas in place: corner -0.5 stays, picture points follow it", () => {
    // Halving: small pixel 0 covers big pixels 0 and 1, whose common middle is 0.5.
    const half = scaleLens(lens, 0.5);
    const [u, v] = project(lens, [0.3, -0.2, 1])!;
    const [us, vs] = project(half, [0.3, -0.2, 1])!;
    expect(Math.abs(us - ((u + 0.5) / 2 - 0.5))).toBeLessThan(1e-9);
    expect(Math.abs(vs - ((v + 0.5) / 2 - 0.5))).toBeLessThan(1e-9);
  });
});

describe("the profile file", () => {
  it("reads back what was written", () => {
    const outcome = readProfile(JSON.parse(JSON.stringify(profile)), "camera.json");
    expect(outcome).toEqual({ ok: true, profile });
  });

  it("names the field that is wrong", () => {
    const outcome = readProfile({ ...profile, lens: { ...lens, fx: -1 } }, "camera.json");
    expect(outcome.ok).toBe(false);
    if (!outcome.ok) expect(outcome.remark.message).toContain("lens.fx");
  });

  it("says when another version wrote it", () => {
    const outcome = readProfile({ ...profile, version: 2 }, "camera.json");
    expect(outcome.ok ? "" : outcome.remark.message).toBe(
      "camera.json is a camera profile of version 2; this program reads version 1.",
    );
  });

  // An estimated number without an uncertainty would count as known exactly.
  it("refuses estimated numbers without an uncertainty", () => {
    const certain = { ...profile, covariance: covariance.map(() => 0) };
    const outcome = readProfile(certain, "camera.json");
    expect(outcome.ok ? "" : outcome.remark.message).toContain("fx");
    const estimated = { ...profile.estimated, k3: true };
    expect(readProfile({ ...profile, estimated }, "camera.json").ok).toBe(false);
  });

  it("refuses a covariance that is none", () => {
    const broken = [...covariance];
    broken[1] = broken[9] = 5;
    expect(covarianceIsSound(broken)).toBe(false);
    expect(readProfile({ ...profile, covariance: broken }, "camera.json").ok).toBe(false);
    const lopsided = [...covariance];
    lopsided[1] = 0.5;
    expect(covarianceIsSound(lopsided)).toBe(false);
    expect(covarianceIsSound(covariance)).toBe(true);
  });

  it("publishes a JSON Schema with every field described at the top", () => {
    const schema = z.toJSONSchema(profileSchema) as { properties: Record<string, unknown> };
    expect(Object.keys(schema.properties)).toContain("covariance");
    expect(Object.keys(schema.properties).length).toBeGreaterThan(12);
  });
});
