import { type Lens, lensOrder, lensSize } from "./lens.ts";

/**
 * The sheet is photographed from 0.3 to 0.5 m, a bay from 1.5 to 4 m, and the lens moves for it. By
 * the thin lens formula a focal length of 6 mm is longer by 1.2 to 2 % at the sheet and by 0.15 to
 * 0.4 % in the bay; phones that resize the picture against this breathing change it back by an
 * unknown part. Distortion changes with the magnification by about its own size times the
 * magnification (Brown, Close-range camera calibration, 1971), which is 1 to 2 % at the sheet.
 */
const focalSd = 0.012;
/** What focusing changes of a focal length at most, as a share of it: the whole of the above. */
export const mostByFocusing = 0.02;
const distortionSd = 0.015;

/**
 * Covariance (9 x 9 row-major, lensOrder) of a sheet's lens for photos of the bay: a common change of
 * both focal lengths and a common factor on all distortion numbers are added.
 */
export const withFocusDoubt = (lens: Lens, covariance: ArrayLike<number>): Float64Array => {
  const byFocal = lensOrder.map((name) =>
    name === "fx" || name === "fy" ? focalSd * lens[name] : 0,
  );
  const byDistortion = lensOrder.map((name) =>
    name === "fx" || name === "fy" || name === "cx" || name === "cy"
      ? 0
      : distortionSd * lens[name],
  );
  return Float64Array.from({ length: lensSize * lensSize }, (_, at) => {
    const i = Math.floor(at / lensSize);
    const j = at % lensSize;
    const known = !(covariance[i * (lensSize + 1)] > 0) || !(covariance[j * (lensSize + 1)] > 0);
    if (known) return covariance[at];
    return covariance[at] + byFocal[i] * byFocal[j] + byDistortion[i] * byDistortion[j];
  });
};

/** Variance of fx in a covariance of {@link withFocusDoubt} without what focusing adds. */
export const focalVarianceBefore = (lens: Lens, covariance: ArrayLike<number>): number =>
  Math.max(0, covariance[0] - (focalSd * lens.fx) ** 2);
