import type { CameraKnowledge } from "../job/run/run.ts";
import { lensOrder, lensSize } from "../lens/lens.ts";
import { type CameraProfile, profileFormat, profileVersion } from "../lens/profile.ts";

/**
 * A phone's main camera after an ordinary camera step, for plans that are made before it: 12
 * megapixels, focal length of 0.75 of the long side. Standard deviations as `bench:camera` sees
 * them after some twelve sheet photos, rounded up; no phone in particular.
 */
const [width, height] = [4032, 3024];
const sds: Readonly<Record<(typeof lensOrder)[number], number>> = {
  fx: 1.5,
  fy: 1.5,
  cx: 1.5,
  cy: 1.5,
  k1: 0.002,
  k2: 0.01,
  p1: 0.0002,
  p2: 0.0002,
  k3: 0.015,
};

const profile: CameraProfile = {
  format: profileFormat,
  version: profileVersion,
  identity: {
    make: null,
    model: null,
    lensModel: null,
    focalLengthMm: null,
    focalLength35mm: null,
    digitalZoom: 1,
    width,
    height,
  },
  lens: {
    fx: 0.75 * width,
    fy: 0.75 * width,
    cx: (width - 1) / 2,
    cy: (height - 1) / 2,
    k1: 0,
    k2: 0,
    p1: 0,
    p2: 0,
    k3: 0,
  },
  covariance: Array.from({ length: lensSize * lensSize }, (_, at) =>
    at % (lensSize + 1) === 0 ? sds[lensOrder[at / (lensSize + 1)]] ** 2 : 0,
  ),
  estimated: {
    fx: true,
    fy: true,
    cx: true,
    cy: true,
    k1: true,
    k2: true,
    p1: true,
    p2: true,
    k3: true,
  },
  model: "",
  spread: { focalSd: 0.001, shiftSdPx: 5, focalFromPhotos: 0, shiftFromPhotos: 0 },
  residualPx: 0,
  heldOutPx: null,
  photos: 1,
  coverage: { columns: 1, rows: 1, counts: [0], share: 0, tiltDeg: [] },
  effectAt4mMm: null,
  calibratedAt: "",
  notes: [],
};

export const usualCamera: CameraKnowledge = { profile, source: "saved profile", remarks: [] };
