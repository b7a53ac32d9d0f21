import type { Remark } from "./codes.ts";
import { type Lens, lensFromVector, lensOrder } from "./lens.ts";
import {
  exifNames,
  exifObjection,
  type PhotoIdentity,
  positiveOrNull,
  type Refusal,
  refuse,
  resizeFactor,
  shapeObjection,
  size,
  zoomOf,
} from "./photo-refusals.ts";
import type { CameraIdentity, CameraProfile } from "./profile.ts";
import { resizeDoubt, scaleLens, scaleLensCovariance } from "./scale.ts";

export type { PhotoIdentity } from "./photo-refusals.ts";

/**
 * Does a photo come from the lens of a profile? A lens belongs to make, model, lens, pixel size and
 * zoom; every program that a photo passes on its way may break one of these without a sign.
 */

export type IdentityMatch =
  | {
      readonly kind: "same" | "resized";
      /** Size of the photo relative to the profile's, 1 for the same size. */
      readonly factor: number;
      readonly lens: Lens;
      readonly covariance: Float64Array;
      readonly focalSd: number;
      readonly shiftSdPx: number;
      /**
       * What the file does not prove of phone and frame (EXIF without a name, another size than
       * written or than the profile's): the job's own photos must agree with the lens.
       */
      readonly remarks: readonly Remark[];
    }
  | Refusal;

/** The identity that a sheet photo gives its profile. */
export const identityOf = (photo: PhotoIdentity): CameraIdentity => ({
  make: photo.exif?.make ?? null,
  model: photo.exif?.model ?? null,
  lensModel: photo.exif?.lensModel ?? null,
  focalLengthMm: positiveOrNull(photo.exif?.focalLengthMm),
  focalLength35mm: positiveOrNull(photo.exif?.focalLength35mm),
  digitalZoom: zoomOf(photo.exif),
  width: photo.width,
  height: photo.height,
});

/**
 * True where the EXIF states another size than the file has, in either order of the sides: some
 * phones write the size as shown. False where it states none.
 */
const sizeContradicts = ({ exif, width, height }: PhotoIdentity): boolean => {
  if (!exif?.exifWidth || !exif.exifHeight) return false;
  const stated = [exif.exifWidth, exif.exifHeight].sort((a, b) => a - b);
  const real = [width, height].sort((a, b) => a - b);
  return stated[0] !== real[0] || stated[1] !== real[1];
};

const unnamed = (photo: PhotoIdentity): Remark => ({
  code: photo.exif ? "exif-names-no-camera" : "exif-missing",
  severity: "warning",
  message: `${photo.name} does not say which phone took it${photo.exif ? "" : " (its EXIF data are gone)"}; the lens is taken from the profile by the picture's size alone.`,
  remedy:
    "Copy photos by cable or as files, not through a messenger. The check of the lens against the job's own photos must agree.",
  about: photo.name,
});

/**
 * Matches a photo to a profile. A photo that can be used comes with the lens as it applies to it:
 * for a smaller copy of the same frame the lens is scaled and the doubt of the resize added.
 */
export const matchPhoto = (profile: CameraProfile, photo: PhotoIdentity): IdentityMatch => {
  const { identity } = profile;
  const objection = exifObjection(photo, identity);
  if (objection) return objection;
  const factor = resizeFactor(photo, identity);
  if (factor === null) return shapeObjection(photo, identity);
  const remarks = exifNames(photo.exif, identity) ? [] : [unnamed(photo)];
  const lens = lensFromVector(lensOrder.map((name) => profile.lens[name]));
  const { focalSd, shiftSdPx } = profile.spread;
  if (photo.width === identity.width && photo.height === identity.height)
    return {
      kind: "same",
      factor: 1,
      lens,
      covariance: Float64Array.from(profile.covariance),
      focalSd,
      shiftSdPx,
      remarks: sizeContradicts(photo) ? [...remarks, contradiction(photo)] : remarks,
    };
  if (factor > 1)
    return refuse(
      photo,
      "enlarged",
      `${photo.name} is ${size(photo)}, larger than the ${size(identity)} of the camera profile.`,
      "Set the camera app to the resolution of the camera step, or do the camera step with this setting.",
    );
  const factorX = photo.width / identity.width;
  const factorY = photo.height / identity.height;
  return {
    kind: "resized",
    factor,
    lens: scaleLens(lens, factorX, factorY),
    covariance: scaleLensCovariance(
      profile.covariance,
      lens,
      factorX,
      factorY,
      resizeDoubt(photo.width, photo.height),
    ),
    focalSd,
    shiftSdPx: shiftSdPx * factor,
    remarks: [...remarks, resized(photo, identity)],
  };
};

/** A file of the profile's size that the camera wrote in another one. */
const contradiction = (photo: PhotoIdentity): Remark => ({
  code: "photo-size-contradicts",
  values: {
    size: size(photo),
    written: `${photo.exif?.exifWidth} x ${photo.exif?.exifHeight}`,
  },
  severity: "warning",
  message: `${photo.name} is ${size(photo)}, but the camera wrote ${photo.exif?.exifWidth} x ${photo.exif?.exifHeight}: it was cropped or resized afterwards. The check of the lens against the job's own photos must agree.`,
  remedy: "Use the original file from the phone.",
  about: photo.name,
});

/**
 * A crop of the same shape looks the same as a smaller copy: programs that crop and programs that
 * shrink both either keep the size in the EXIF or rewrite it. Only the photos themselves can tell.
 */
const resized = (photo: PhotoIdentity, profile: CameraIdentity): Remark => ({
  code: "photo-resized",
  severity: "warning",
  message: `${photo.name} is a smaller copy (${size(photo)} of ${size(profile)}); the lens is scaled to it, and measured points are less exact. Nothing in the file rules out that it was also cropped; the check of the lens against the job's own photos must agree.`,
  remedy: "Send photos as files or by cable so that they keep their full size.",
  about: photo.name,
});
