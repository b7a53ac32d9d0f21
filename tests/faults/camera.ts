import { learnCamera } from "../../src/job/run/learn-camera.ts";
import { drawSession } from "../tools/phone/session.ts";
import { drawCase, withFault } from "./case.ts";
import { exif, findings, pixels, withoutExif } from "./change.ts";
import type { Case, Fault } from "./fault.ts";
import { type Name, shared } from "./naming.ts";

const lens: readonly Name[] = [
  "profile-disagrees",
  "profile-disagrees-zoomed",
  ...shared("lens", "focus"),
];

const knownLens = (job: Case) => {
  const answer = learnCamera(job.sheet, "2026-01-02");
  if (!answer.ok) throw new Error("the sheet photos of a simulated phone must give a lens");
  return answer.camera;
};

/** The saved profile with its focal length at this share of the true one. */
const staleProfile = (job: Case, share: number): void => {
  const camera = knownLens(job);
  const { lens: known } = camera.profile;
  job.camera = {
    ...camera,
    source: "saved profile",
    profile: { ...camera.profile, lens: { ...known, fx: known.fx * share, fy: known.fy * share } },
  };
};

/** Faults of the camera step and of what is known of the lens. */
export const cameraFaults: readonly Fault[] = [
  {
    name: "stale-profile",
    family: "camera",
    how: "the phone was dropped since: focal length at this share of the profile's",
    said: lens,
    guilty: [],
    never: "all meet with the old lens",
    // Up to 2 % is what focusing does by itself: the job's own photos correct it inside its interval.
    strengths: [1.001, 1.004, 1.02, 1.05],
    found: staleProfile,
  },
  {
    name: "profile-off-centre",
    family: "camera",
    how: "a new phone case shifted the lens: optical centre so many px from the profile's",
    said: lens,
    guilty: [],
    never: "a yaw off by the shift",
    strengths: [15, 60],
    found: (job, px) => {
      const camera = knownLens(job);
      const { lens: known } = camera.profile;
      const moved = { ...known, cx: known.cx + px, cy: known.cy - 0.5 * px };
      job.camera = {
        ...camera,
        source: "saved profile",
        profile: { ...camera.profile, lens: moved },
      };
    },
  },
  {
    name: "profile-distortion",
    family: "camera",
    how: "a cover glass in front of the lens: first distortion term off by so much",
    said: lens,
    guilty: [],
    never: "boards near the frame's edge off without a word",
    strengths: [0.002, 0.02],
    found: (job, by) => {
      const camera = knownLens(job);
      const { lens: known } = camera.profile;
      job.camera = {
        ...camera,
        source: "saved profile",
        profile: { ...camera.profile, lens: { ...known, k1: known.k1 + by } },
      };
    },
  },
  {
    name: "sheet-bent",
    family: "camera",
    how: "the sheet curled to a cylinder, bulge over its length in mm",
    said: ["sheet-bent", ...lens, "features-noisy"],
    guilty: [],
    never: "a lens that carries the bend",
    strengths: [1, 4, 12],
    camera: true,
    taking: (job, bulge) => {
      for (const scene of job.sheetScenes)
        scene.print = { ...scene.print, curvature: (8 * bulge) / 250 ** 2, bendAngle: 1.2 };
    },
  },
  {
    name: "sheet-stretched",
    family: "camera",
    how: "the sheet wider than tall by this factor",
    said: ["sheet-stretched", ...lens],
    guilty: [],
    never: "a lens of wrong proportions",
    strengths: [1.002, 1.006, 1.02],
    camera: true,
    taking: (job, stretch) => {
      for (const scene of job.sheetScenes)
        scene.print = { ...scene.print, cellX: scene.print.cellX * stretch };
    },
  },
  {
    name: "sheet-lying-differently",
    family: "camera",
    how: "two sheet photos of another print, wider by this factor",
    said: ["photo-does-not-fit", "photo-zoomed", "photo-off-centre", "features-noisy", ...lens],
    guilty: [],
    never: "a lens between the two",
    strengths: [1.01, 1.04],
    camera: true,
    taking: (job, stretch) => {
      for (const scene of job.sheetScenes.slice(0, 2))
        scene.print = { ...scene.print, cellX: scene.print.cellX * stretch };
    },
  },
  {
    name: "one-sheet-photo-of-another-phone",
    family: "camera",
    how: "a colleague's phone took one sheet photo, and its EXIF says so",
    said: ["photo-of-another-phone"],
    never: "a lens between two phones",
    strengths: [1.02],
    camera: true,
    found: (job, zoom) => {
      job.sheet = job.sheet.map((photo, i) =>
        photo.ok && i === 3
          ? { ok: true, findings: exif(bigger(photo.findings, zoom), { model: "Another phone" }) }
          : photo,
      );
    },
  },
  {
    name: "sheet-photos-of-another-phone",
    family: "camera",
    how: "all sheet photos with another phone of the same kind, EXIF gone",
    said: [...lens, "exif-names-no-camera"],
    guilty: [],
    never: "all meet with another phone's lens",
    strengths: [1],
    camera: true,
    found: (job) => {
      const other = drawSession(job.session.seed + 500, { bumpMm: 0 });
      const theirs = drawCase(other.seed, "plain");
      withFault(theirs, null, 0);
      job.sheet = theirs.sheet.map((photo) =>
        photo.ok ? { ok: true, findings: withoutExif(photo.findings) } : photo,
      );
      findings(job, "all", withoutExif);
    },
  },
  {
    name: "focus-locked-elsewhere",
    family: "camera",
    how: "the sheet photographed with focus locked near: focal length longer by this factor",
    said: lens,
    guilty: [],
    never: "distances off by the factor",
    strengths: [1.003, 1.015],
    camera: true,
    found: (job, zoom) => {
      job.sheet = job.sheet.map((photo) =>
        photo.ok ? { ok: true, findings: bigger(photo.findings, zoom) } : photo,
      );
    },
  },
  {
    name: "two-resolutions",
    family: "camera",
    how: "three photos of the bay at 48 megapixels, the sheet at 12",
    said: ["photo-other-size", "photo-enlarged"],
    never: "pixels of two sizes mixed",
    strengths: [2],
    found: (job, factor) =>
      findings(job, [11, 12, 13], (photo) => ({
        ...pixels(photo, (x, y) => [(x + 0.5) * factor - 0.5, (y + 0.5) * factor - 0.5]),
        width: photo.width * factor,
        height: photo.height * factor,
      })),
  },
  {
    name: "sheet-face-on",
    family: "camera",
    how: "the sheet photographed face on only",
    said: ["no-tilt", "all-from-one-place", "too-few-photos"],
    never: "a focal length from nothing",
    strengths: [1],
    camera: true,
    found: (job) => {
      job.sheet = job.sheet.filter((_, i) => i % 7 === 0);
      const [first] = job.sheet;
      if (!first.ok) return;
      job.sheet = Array.from({ length: 8 }, (_, i) => ({
        ok: true,
        findings: {
          ...pixels(first.findings, (x, y) => [x + 25 * (i % 3), y + 20 * (i % 2) + 2 * i]),
          name: `face-${i}.jpg`,
        },
      }));
    },
  },
  {
    name: "few-sheet-photos",
    family: "camera",
    how: "so many sheet photos only",
    said: ["too-few-photos", "little-tilt", "corner-not-covered", "all-from-one-place"],
    never: "a lens that is surer than its photos",
    strengths: [2, 5],
    camera: true,
    found: (job, count) => {
      job.sheet = job.sheet.slice(0, count);
    },
  },
  {
    name: "no-camera-step",
    family: "camera",
    how: "no sheet photos and no profile: a lens typed from a data sheet is the demo of nothing known",
    said: ["own-lens", "own-lens-weak", "no-camera", "too-few-photos"],
    never: "an interval as with a camera step",
    strengths: [1],
    camera: true,
    found: (job) => {
      job.sheet = [];
    },
  },
  {
    name: "sheet-photos-edited",
    family: "camera",
    how: "half of the sheet photos cropped in shape by an editor and enlarged again to full size",
    said: [
      "photo-zoomed",
      "photo-off-centre",
      "photo-does-not-fit",
      "photo-other-program",
      ...lens,
      "features-noisy",
      "changes-unsettled",
      "no-solution",
    ],
    guilty: [],
    never: "a lens between the two",
    strengths: [1.05, 1.3],
    camera: true,
    found: (job, zoom) => {
      job.sheet = job.sheet.map((photo, i) =>
        photo.ok && i < 3 ? { ok: true, findings: bigger(photo.findings, zoom) } : photo,
      );
    },
  },
];

type Found = Parameters<typeof pixels>[0];
const bigger = (photo: Found, zoom: number): Found => {
  const [cx, cy] = [(photo.width - 1) / 2, (photo.height - 1) / 2];
  return pixels(photo, (x, y) => [cx + zoom * (x - cx), cy + zoom * (y - cy)]);
};
