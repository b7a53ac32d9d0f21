/**
 * The true lens of a simulated phone. It is no Brown lens: a radial polynomial with a ripple on top,
 * decentring, thin prism, all changing with focus; a real opening, so that what is out of focus is
 * spread over a disc. Pixels as everywhere: centre of the top left pixel (0, 0), x right, y down.
 */
import { type Chance, deg } from "./maths.ts";
import { phoneRanges as ranges } from "./ranges.ts";

export interface TrueLens {
  readonly width: number;
  readonly height: number;
  /** Focal length, px of x, focused at infinity; y is `aspect` times that. */
  readonly focalPx: number;
  readonly aspect: number;
  readonly centre: readonly [number, number];
  /** Radial shares of r^2, r^4, r^6. */
  readonly radial: readonly [number, number, number];
  readonly decentring: readonly [number, number];
  /** Ripple: amplitude (px at the frame's corner), half waves up to the corner. */
  readonly ripplePx: number;
  readonly rippleHalfWaves: number;
  readonly ripplePhase: number;
  readonly prismPx: readonly [number, number];
  readonly focusDistortion: number;
  /** Focal length in mm and radius of the opening in mm. */
  readonly focalMm: number;
  readonly openingMm: number;
  /** Lateral colour at the corner, px against green. */
  readonly redPx: number;
  readonly bluePx: number;
  readonly opticsBlurPx: number;
}

/** State of the lens in one photo. */
export interface LensState {
  /** Distance of the plane in focus, mm. */
  readonly focusMm: number;
  /** Relative error of the focus motor. */
  readonly focalError: number;
  /** Where the stabilised lens rests, px. */
  readonly rest: readonly [number, number];
}

export const drawLens = (c: Chance): TrueLens => {
  const focalPx = c.even(...ranges.focalPx);
  const focalMm = (focalPx * c.even(...ranges.pitchUm)) / 1000;
  const [near, far] = [c.even(...ranges.distortionNear), c.even(...ranges.distortionFar)];
  const third = c.normal(0.02);
  return {
    width: ranges.width,
    height: ranges.height,
    focalPx,
    aspect: 1 + c.normal(ranges.aspectSd),
    centre: [
      (ranges.width - 1) / 2 + c.normal(ranges.centreSdPx),
      (ranges.height - 1) / 2 + c.normal(ranges.centreSdPx),
    ],
    radial: throughShares(near, far, third),
    decentring: [c.normal(ranges.decentring), c.normal(ranges.decentring)],
    ripplePx: c.normal(ranges.rippleSdPx),
    rippleHalfWaves: c.even(...ranges.rippleHalfWaves),
    ripplePhase: c.even(0, 2 * Math.PI),
    prismPx: [c.normal(ranges.prismSdPx), c.normal(ranges.prismSdPx)],
    focusDistortion: c.even(...ranges.focusDistortion),
    focalMm,
    openingMm: focalMm / c.even(...ranges.fNumber) / 2,
    redPx: c.normal(ranges.redSdPx),
    bluePx: c.normal(ranges.blueSdPx),
    opticsBlurPx: c.even(...ranges.opticsBlurPx),
  };
};

/** Coefficients of r^2, r^4, r^6 that give the wanted shares at r = 0.4 and 0.8. */
const throughShares = (near: number, far: number, third: number): [number, number, number] => {
  const [a, b] = [0.16, 0.64];
  const n = near - third * a ** 3;
  const f = far - third * b ** 3;
  const second = (f / b - n / a) / (b - a);
  return [n / a - second * a, second, third];
};

export const fieldOfViewDeg = (lens: TrueLens): number =>
  2 * deg(Math.atan(lens.width / 2 / lens.focalPx));

/** Magnification-free focal length of a photo, px: a thin lens focused at d has f d / (d - f). */
export const photoFocalPx = (lens: TrueLens, { focusMm, focalError }: LensState): number =>
  ((lens.focalPx * focusMm) / (focusMm - lens.focalMm)) * (1 + focalError);

/** Tangent of the field angle at the frame's corner, without distortion. */
export const cornerRadius = (lens: TrueLens): number =>
  Math.hypot(lens.width, lens.height) / 2 / lens.focalPx;

/** Where the point in direction (x, y, 1) of the camera frame is seen, px; `shift` moves the lens. */
export const seenAt = (
  lens: TrueLens,
  state: LensState,
  x: number,
  y: number,
  shift: readonly [number, number] = [0, 0],
): [number, number] => {
  const f = photoFocalPx(lens, state);
  const magnification = lens.focalMm / (state.focusMm - lens.focalMm);
  const bend = 1 + lens.focusDistortion * magnification;
  const corner = cornerRadius(lens);
  const rr = x * x + y * y;
  const r = Math.sqrt(rr);
  const [c1, c2, c3] = lens.radial;
  const s = r / corner;
  const wave =
    Math.sin(Math.PI * lens.rippleHalfWaves * s + lens.ripplePhase) - Math.sin(lens.ripplePhase);
  const ripple = r > 0 ? ((lens.ripplePx / lens.focalPx) * wave * s) / r : 0;
  const stretch = 1 + bend * (rr * (c1 + rr * (c2 + rr * c3))) + ripple;
  const [d1, d2] = lens.decentring;
  const ss = s * s;
  const u = x * stretch + 2 * d1 * x * y + d2 * (rr + 2 * x * x);
  const v = y * stretch + d1 * (rr + 2 * y * y) + 2 * d2 * x * y;
  return [
    f * u + lens.prismPx[0] * ss + lens.centre[0] + state.rest[0] + shift[0],
    f * lens.aspect * v + lens.prismPx[1] * ss + lens.centre[1] + state.rest[1] + shift[1],
  ];
};

/** Direction (x, y, 1) that is seen at a pixel: the inverse of `seenAt`, by fixed-point steps. */
export const lookAlong = (
  lens: TrueLens,
  state: LensState,
  px: number,
  py: number,
  shift: readonly [number, number] = [0, 0],
): [number, number] => {
  const f = photoFocalPx(lens, state);
  let x = (px - lens.centre[0] - state.rest[0] - shift[0]) / f;
  let y = (py - lens.centre[1] - state.rest[1] - shift[1]) / (f * lens.aspect);
  for (let i = 0; i < 60; i++) {
    const [u, v] = seenAt(lens, state, x, y, shift);
    const [ex, ey] = [(px - u) / f, (py - v) / (f * lens.aspect)];
    x += ex;
    y += ey;
    if (Math.abs(ex) + Math.abs(ey) < 1e-13) break;
  }
  return [x, y];
};
