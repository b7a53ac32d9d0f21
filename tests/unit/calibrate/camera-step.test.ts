import { describe, expect, it } from "vitest";
import { adjust } from "../../../src/adjust/adjust.ts";
import type { ChainStatement, StateView } from "../../../src/adjust/problem/problem.ts";
import { sheetMarkers, sheetSquareMm } from "../../../src/boards/sheet.ts";
import { type CameraOutcome, calibrateCamera } from "../../../src/calibrate/camera-step.ts";
import { fitSheet } from "../../../src/calibrate/estimate/fit.ts";
import { freeOf, fullModel } from "../../../src/calibrate/estimate/model.ts";
import { anyLensSd, sheetProblem } from "../../../src/calibrate/estimate/sheet-problem.ts";
import { effectGeometry } from "../../../src/calibrate/lens-effect/effect-geometry.ts";
import { effectOf, effectSd } from "../../../src/calibrate/lens-effect/lens-effect.ts";
import { viewInformation } from "../../../src/calibrate/lens-effect/view-information.ts";
import { type Lens, lensOrder, lensToVector } from "../../../src/lens/lens.ts";
import { covarianceIsSound, readProfile } from "../../../src/lens/profile.ts";
import { invertPositive } from "../../../src/maths/dense.ts";
import { chiSquareQuantile } from "../../../src/maths/statistics.ts";
import {
  chance,
  goodPlaces,
  inventedExif,
  inventPhone,
  type PhotoTrouble,
  photographAll,
  type SimulatedPhone,
} from "./simulated-phone.ts";

const noise = 0.05;
const quick = { heldOut: false, effect: false } as const;

const scene = (seed: number, count = 14, trouble: PhotoTrouble = {}) => {
  const r = chance(seed);
  const phone = inventPhone(r);
  const photos = photographAll(phone, goodPlaces(count, r), noise, r, trouble);
  return { r, phone, photos };
};

const solved = (outcome: CameraOutcome) => {
  if (!outcome.ok) throw new Error(outcome.remarks.map((m) => m.message).join(" "));
  return outcome;
};

const codes = (outcome: CameraOutcome) => outcome.remarks.map(({ code }) => code);

/** error^T C^-1 error over the nine lens numbers. */
const mahalanobis = (covariance: readonly number[], lens: Lens, phone: SimulatedPhone): number => {
  const inverse = invertPositive(Float64Array.from(covariance), 9)!;
  const d = lensToVector(lens).map((value, i) => value - lensToVector(phone.lens)[i]);
  let sum = 0;
  for (let i = 0; i < 9; i++) for (let j = 0; j < 9; j++) sum += d[i] * inverse[9 * i + j] * d[j];
  return sum;
};

describe("calibrateCamera on simulated phones", () => {
  it("says where the spread from photo to photo did not settle", () => {
    const { photos } = scene(500);
    expect(codes(solved(calibrateCamera(photos, quick)))).not.toContain("changes-unsettled");
    const cut = solved(calibrateCamera(photos, { ...quick, mostRounds: 0 }));
    expect(codes(cut)).toContain("changes-unsettled");
  });

  it("finds lenses that its covariance admits, whatever the phone", () => {
    let sum = 0;
    const phones = 12;
    for (let seed = 0; seed < phones; seed++) {
      const { phone, photos } = scene(500 + seed);
      const { profile } = solved(calibrateCamera(photos, quick));
      expect(covarianceIsSound(profile.covariance)).toBe(true);
      const distance = mahalanobis(profile.covariance, profile.lens, phone);
      expect(distance).toBeLessThan(chiSquareQuantile(0.9999, 9));
      sum += distance;
    }
    // Sum of chi-squared with 9 each: two-sided 99.9 %.
    expect(sum).toBeGreaterThan(chiSquareQuantile(0.0005, 9 * phones));
    expect(sum).toBeLessThan(chiSquareQuantile(0.9995, 9 * phones));
  });

  it("tells a restless phone from a steady one", () => {
    const spreadOf = (focalSd: number, shiftSdPx: number) => {
      const r = chance(77);
      const phone = { ...inventPhone(r), focalSd, shiftSdPx };
      return solved(calibrateCamera(photographAll(phone, goodPlaces(20, r), noise, r), quick))
        .profile.spread;
    };
    const restless = spreadOf(0.006, 20);
    const steady = spreadOf(0.0005, 1);
    expect(Math.abs(restless.focalSd / 0.006 - 1)).toBeLessThan(0.6);
    expect(Math.abs(restless.shiftSdPx / 20 - 1)).toBeLessThan(0.4);
    expect(steady.focalSd).toBeLessThan(0.0025);
    expect(steady.shiftSdPx).toBeLessThan(4);
  });

  it("finds how noisy the features are where the finder promised too much", () => {
    const { photos } = scene(9);
    const boasting = photos.map((photo) => ({
      ...photo,
      view: { ...photo.view, noise: { kind: "isotropic", sigmaPx: noise / 4 } as const },
    }));
    const honest = solved(calibrateCamera(photos, quick));
    const outcome = solved(calibrateCamera(boasting, quick));
    expect(codes(outcome)).toContain("features-noisy");
    for (const i of [0, 20, 40])
      expect(
        Math.abs(outcome.profile.covariance[i] / honest.profile.covariance[i] - 1),
      ).toBeLessThan(0.1);
  });

  it("takes a small model for a simple lens, and keeps the uncertainty of the zeros", () => {
    const r = chance(21);
    const phone = inventPhone(r);
    const simple = { ...phone, lens: { ...phone.lens, k2: 0, k3: 0, p1: 0, p2: 0 } };
    const { profile, choice } = solved(
      calibrateCamera(photographAll(simple, goodPlaces(14, r), noise, r), quick),
    );
    expect(choice.model.name).toBe("k1");
    expect(profile.lens.k3).toBe(0);
    expect(profile.covariance[80]).toBeGreaterThan(0);
    expect(mahalanobis(profile.covariance, profile.lens, simple)).toBeLessThan(
      chiSquareQuantile(0.999, 9),
    );
  });

  it("states a held-out error near the noise, and millimetres at 4 m", () => {
    const { photos } = scene(31);
    const { profile, photos: reports } = solved(calibrateCamera(photos, { date: "2026-01-02" }));
    expect(Math.abs(profile.heldOutPx! / noise - 1)).toBeLessThan(0.25);
    expect(reports.filter(({ heldOutPx }) => heldOutPx !== null)).toHaveLength(14);
    expect(profile.effectAt4mMm!).toBeGreaterThan(0.005);
    expect(profile.effectAt4mMm!).toBeLessThan(0.2);
    expect(profile.calibratedAt).toBe("2026-01-02");
    expect(readProfile(JSON.parse(JSON.stringify(profile)), "x").ok).toBe(true);
  });

  it("estimates the bend of a bent sheet along, and says so", () => {
    const { phone, photos } = scene(41, 14, { bendMm: 3 });
    const outcome = solved(calibrateCamera(photos, quick));
    expect(codes(outcome)).toContain("sheet-bent");
    expect(Math.abs(Math.abs(outcome.bendMm) - 3)).toBeLessThan(0.1);
    // The true shape is a parabola, the model nearly one; the lens stays near.
    expect(Math.abs(outcome.profile.lens.fx / phone.lens.fx - 1)).toBeLessThan(0.005);
  });
});

describe("calibrateCamera on bad input", () => {
  const refused = (outcome: CameraOutcome, code: string) => {
    expect(outcome.ok).toBe(false);
    expect(codes(outcome)[0]).toBe(code);
    expect(outcome.remarks[0].remedy.length).toBeGreaterThan(10);
  };

  it("refuses no photo and three photos", () => {
    refused(calibrateCamera([], quick), "too-few-photos");
    refused(calibrateCamera(scene(1, 3).photos, quick), "too-few-photos");
  });

  it("refuses photos that all look face on, or all from one side", () => {
    const r = chance(2);
    const phone = inventPhone(r);
    const at = (tiltDeg: number, towardsDeg: number) =>
      photographAll(
        phone,
        goodPlaces(8, r).map((place) => ({
          ...place,
          tiltDeg,
          towardsDeg,
          rollDeg: 0,
          x: 0,
          y: 0,
        })),
        noise,
        r,
      );
    const faceOn = calibrateCamera(at(2, 0), quick);
    expect(faceOn.ok).toBe(false);
    expect(codes(faceOn)).toContain("no-tilt");
    const oneSide = calibrateCamera(at(35, 40), quick);
    expect(oneSide.ok).toBe(false);
    expect(codes(oneSide)).toContain("all-from-one-place");
  });

  it("leaves out photos of another phone, size or lens, by name", () => {
    const { photos } = scene(3);
    const mixed = photos.map((photo, i) =>
      i === 4
        ? { ...photo, exif: inventedExif({ model: "Phone Two" }) }
        : i === 7
          ? { ...photo, width: 3024, height: 4032 }
          : i === 9
            ? { ...photo, exif: inventedExif({ focalLengthMm: 2.2, focalLength35mm: 13 }) }
            : photo,
    );
    const outcome = solved(calibrateCamera(mixed, quick));
    const about = (code: string) => outcome.remarks.find((m) => m.code === code)?.about;
    expect(about("photo-of-another-phone")).toBe("sheet-05.jpg");
    expect(about("photo-of-another-size")).toBe("sheet-08.jpg");
    expect(about("photo-through-another-lens")).toBe("sheet-10.jpg");
    expect(outcome.profile.photos).toBe(11);
  });

  it("names and leaves out a photo that does not fit the others", () => {
    const { photos } = scene(4);
    const r = chance(99);
    const moved = photos.map((photo, i) =>
      i === 6
        ? {
            ...photo,
            view: { ...photo.view, pixels: photo.view.pixels.map((v) => v + r.normal(0.6)) },
          }
        : photo,
    );
    const outcome = solved(calibrateCamera(moved, quick));
    const remark = outcome.remarks.find(({ code }) => code === "photo-does-not-fit");
    expect(remark?.about).toBe("sheet-07.jpg");
    expect(outcome.photos.filter(({ used }) => !used).map(({ photo }) => photo)).toEqual([
      "sheet-07.jpg",
    ]);
  });

  it("notices zoom in one photo without any EXIF", () => {
    const { photos } = scene(5);
    const zoomed = photos.map((photo, i) => ({
      ...photo,
      exif: null,
      view:
        i === 2
          ? {
              ...photo.view,
              pixels: photo.view.pixels.map(
                (v, k) => (k % 2 ? 1511.5 : 2015.5) + 1.2 * (v - (k % 2 ? 1511.5 : 2015.5)),
              ),
            }
          : photo.view,
    }));
    const outcome = solved(calibrateCamera(zoomed, quick));
    expect(outcome.remarks.find(({ code }) => code === "photo-zoomed")?.about).toBe("sheet-03.jpg");
  });

  it("says which photo shows half the sheet, and still uses it", () => {
    const { photos } = scene(6);
    const half = scene(6, 14, { keeps: (row) => row <= 4 }).photos;
    const outcome = solved(
      calibrateCamera(
        photos.map((p, i) => (i === 0 ? half[0] : p)),
        quick,
      ),
    );
    const remark = outcome.remarks.find(({ code }) => code === "sheet-partly-seen");
    expect(remark?.about).toBe("sheet-01.jpg");
  });

  it("frees the lens of a sheet printed with two scales, and says so", () => {
    const r = chance(8);
    const phone = inventPhone(r);
    const upright = goodPlaces(14, r).map((place) => ({
      ...place,
      rollDeg: place.rollDeg % 180 < 60 ? 5 : -8,
    }));
    const photos = photographAll(phone, upright, noise, r).map((photo) => ({
      ...photo,
      view: {
        ...photo.view,
        boardPoints: photo.view.boardPoints.map((v, i) => (i % 2 ? v : v * 1.01)),
      },
    }));
    const outcome = calibrateCamera(photos, quick);
    expect(codes(outcome)).toContain("sheet-two-scales");
    if (!outcome.ok) throw new Error("this sheet has a lens");
    const { fx, fy } = outcome.profile.lens;
    expect(Math.abs(fx / fy - phone.lens.fx / phone.lens.fy)).toBeLessThan(0.001);
  });
});

describe("planning agrees with the adjustment", () => {
  const { phone, photos } = scene(51);
  const settings = {
    lens: phone.lens,
    lensSd: [300, 300, 160, 160, 0.5, 0.5, 0.02, 0.02, 0.5],
    free: freeOf(fullModel),
    fixedAspect: false,
    focalSd: 0.003,
    shiftSdPx: 8,
    noiseScale: 1,
    squareMm: sheetSquareMm,
    bendSd: 0,
  };
  const fit = fitSheet(photos, settings, { robust: false })!;

  it("adds up the photos' information to the inverse covariance", () => {
    const total = new Float64Array(81);
    for (const [i, sd] of settings.lensSd.entries()) total[10 * i] = sd ** -2;
    for (const [k, { cameraFromSheet }] of fit.photos.entries()) {
      const pointsMm = photos[k].view.boardPoints.map((v) => v * sheetSquareMm);
      const one = viewInformation(
        fit.lens,
        { cameraFromSheet, pointsMm, noisePx: noise },
        settings,
      );
      for (let i = 0; i < 81; i++) total[i] += one[i];
    }
    const covariance = invertPositive(total, 9)!;
    // The planning formula takes the photos' changes at zero, a second-order difference.
    for (const [i, name] of lensOrder.entries())
      expect(Math.abs(covariance[10 * i] / fit.lensCovariance[10 * i] - 1), name).toBeLessThan(
        0.03,
      );
    expect(photos[0].view.boardPoints).toHaveLength(2 * sheetMarkers.length);
  });

  it("predicts the effect at 4 m that a wrong lens has", () => {
    const effect = effectGeometry(phone.lens, 4032, 3024, { focalSd: 0.003, shiftSdPx: 8 })!;
    const sd = effectSd(effect, fit.lensCovariance)!;
    expect(sd).toBeGreaterThan(0);
    // An error along one principal direction of one sd makes an effect of at most sd.
    const error = lensToVector(fit.lens).map((value, i) => value - lensToVector(phone.lens)[i]);
    expect(Math.abs(effectOf(effect, fit.lensCovariance, error)!)).toBeLessThan(4 * sd);
  });
});

describe("one board as the whole network", () => {
  it("gives the lens and covariance that it gives with the sheet held as origin", () => {
    let compared = 0;
    for (let seed = 0; seed < 6; seed++) {
      const { phone, photos } = scene(900 + seed, 8);
      const problem = sheetProblem(photos, {
        lens: phone.lens,
        lensSd: anyLensSd(phone.lens, 0.1, phone.width),
        free: freeOf(fullModel),
        fixedAspect: false,
        focalSd: 0.003,
        shiftSdPx: 8,
        noiseScale: 1,
        squareMm: sheetSquareMm,
        bendSd: 1e-4,
      });
      // Holding the only board takes the six free motions away and says nothing else.
      const held: ChainStatement = {
        key: "origin",
        links: [{ kind: "pose", key: "sheet" }],
        sd: [0.01, 0.01, 0.01, 1, 1, 1],
        source: "other",
      };
      const [free, origin] = [[], [held]].map((chains) => {
        const outcome = adjust({ ...problem, chains }, { robust: false });
        if (!outcome.ok) throw new Error(`seed ${seed} does not solve`);
        const lens = outcome.state.lens("camera");
        const numbers = lensOrder.map((name) => ({
          key: name,
          evaluate: (state: StateView) => state.lens("camera")[name],
        }));
        return { lens, covariance: outcome.propagate(numbers).covariance };
      });
      for (const [i, name] of lensOrder.entries()) {
        const sd = Math.sqrt(origin.covariance[10 * i]);
        expect(Math.abs(free.lens[name] - origin.lens[name]), name).toBeLessThan(1e-3 * sd);
        expect(Math.abs(Math.sqrt(free.covariance[10 * i]) / sd - 1), name).toBeLessThan(1e-4);
        compared++;
      }
    }
    expect(compared).toBe(54);
  });
});
