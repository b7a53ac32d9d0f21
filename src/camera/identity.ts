import type { ExifFacts } from "../photo/exif-facts.ts";
import type { Remark } from "../photo/remark.ts";
import { type Lens, lensFromVector, lensOrder } from "./lens.ts";
import type { CameraIdentity, CameraProfile } from "./profile.ts";
import { resizeDoubt, scaleLens, scaleLensCovariance } from "./scale.ts";

/**
 * Does a photo come from the lens of a profile? A lens belongs to make, model, lens, pixel size and
 * zoom; every program that a photo passes on its way may break one of these without a sign.
 */

export interface PhotoIdentity {
  readonly name: string;
  /** px as decoded, sensor orientation. */
  readonly width: number;
  readonly height: number;
  readonly exif: ExifFacts | null;
}

export type RefusalCode =
  | "other-phone"
  | "other-lens"
  | "digital-zoom"
  | "cropped"
  | "turned"
  | "screenshot"
  | "panorama"
  | "portrait"
  | "enlarged"
  | "other-size";

export type IdentityMatch =
  | {
      readonly kind: "same" | "resized";
      /**
       * False where the file does not prove phone and frame (EXIF without a name, another size than
       * written or than the profile's): the job's own photos must agree with the lens.
       */
      readonly proven: boolean;
      /** Size of the photo relative to the profile's, 1 for the same size. */
      readonly factor: number;
      readonly lens: Lens;
      readonly covariance: Float64Array;
      readonly focalSd: number;
      readonly shiftSdPx: number;
      readonly remarks: readonly Remark[];
    }
  | { readonly kind: "refused"; readonly code: RefusalCode; readonly remark: Remark };

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

const positiveOrNull = (value: number | null | undefined): number | null =>
  value !== null && value !== undefined && value > 0 ? value : null;

/**
 * Kinds of computed pictures by EXIF CustomRendered. The standard (CIPA DC-008) knows 0 and 1 only;
 * 6 to 8 are written by one maker's phones and published with its photo framework: 6 = panorama,
 * 7 and 8 = blurred background. 1 and the tone-mapped kinds 2 to 4 and 9 leave places as they are
 * (from memory), so that they are used.
 */
const panoramaRendering: ReadonlySet<number> = new Set([6]);
const portraitRendering: ReadonlySet<number> = new Set([7, 8]);

/** EXIF writes 0 where digital zoom was not used. */
const zoomOf = (exif: ExifFacts | null): number => positiveOrNull(exif?.digitalZoom) ?? 1;

const sameText = (a: string, b: string): boolean =>
  a.trim().toLowerCase() === b.trim().toLowerCase();

const bothAndDiffer = (a: string | null | undefined, b: string | null): boolean =>
  Boolean(a) && Boolean(b) && !sameText(a!, b!);

const bothAndFarApart = (
  a: number | null | undefined,
  b: number | null,
  relative: number,
): boolean => Boolean(a) && Boolean(b) && Math.abs(a! - b!) > relative * b!;

const refuse = (
  photo: PhotoIdentity,
  code: RefusalCode,
  message: string,
  remedy: string,
): Extract<IdentityMatch, { kind: "refused" }> => ({
  kind: "refused",
  code,
  remark: { code: `photo-${code}`, severity: "error", message, remedy, about: photo.name },
});

const size = (p: { width: number; height: number }): string => `${p.width} x ${p.height}`;
const phone = (make: string | null | undefined, model: string | null | undefined): string =>
  [make, model].filter(Boolean).join(" ") || "an unnamed phone";

/** Refusal of a picture that the phone computed from several or cut out of the background. */
export const computedPicture = (
  photo: PhotoIdentity,
): Extract<IdentityMatch, { kind: "refused" }> | null => {
  const rendered = photo.exif?.customRendered ?? 0;
  if (panoramaRendering.has(rendered)) return panorama(photo);
  if (!portraitRendering.has(rendered)) return null;
  return refuse(
    photo,
    "portrait",
    `${photo.name} was taken in portrait mode: the phone computed a blurred background and may have cropped the picture.`,
    "Switch portrait mode off and take the photo again.",
  );
};

/** Refusals that the EXIF facts alone decide; null where they do not object. */
const exifObjection = (photo: PhotoIdentity, profile: CameraIdentity): IdentityMatch | null => {
  const { exif } = photo;
  if (!exif) return null;
  const computed = computedPicture(photo);
  if (computed) return computed;
  if (bothAndDiffer(exif.make, profile.make) || bothAndDiffer(exif.model, profile.model))
    return refuse(
      photo,
      "other-phone",
      `${photo.name} was taken with ${phone(exif.make, exif.model)}; the camera profile belongs to ${phone(profile.make, profile.model)}.`,
      "Take all photos of the job with the phone of the profile, or do the camera step with this phone.",
    );
  const zoom = zoomOf(exif);
  const sameGlass = !bothAndFarApart(exif.focalLengthMm, profile.focalLengthMm, 0.02);
  const otherField = bothAndFarApart(exif.focalLength35mm, profile.focalLength35mm, 0.05);
  if (
    Math.abs(zoom / profile.digitalZoom - 1) > 0.005 ||
    (otherField && sameGlass && exif.focalLengthMm && profile.focalLengthMm)
  )
    return refuse(
      photo,
      "digital-zoom",
      `${photo.name} was taken with digital zoom (${zoomWords(exif, profile)}), which the profile does not cover.`,
      "Set the camera app back to the zoom of the camera step, usually 1x, and take the photo again.",
    );
  if (!sameGlass || otherField || bothAndDiffer(exif.lensModel, profile.lensModel))
    return refuse(
      photo,
      "other-lens",
      `${photo.name} was taken through another lens of the phone (${lensWords(exif)}) than the profile (${lensWords(profile)}).`,
      "Use the lens of the camera step (usually 1x); stay far enough away that the phone does not switch to its close-up lens.",
    );
  return null;
};

const panorama = (photo: PhotoIdentity) =>
  refuse(
    photo,
    "panorama",
    `${photo.name} (${size(photo)}) looks like a panorama, which is sewn together from several photos and has no single lens.`,
    "Take an ordinary photo.",
  );

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

const zoomWords = (exif: ExifFacts, profile: CameraIdentity): string =>
  exif.digitalZoom && Math.abs(zoomOf(exif) / profile.digitalZoom - 1) > 0.005
    ? `${zoomOf(exif).toFixed(2)}x instead of ${profile.digitalZoom.toFixed(2)}x`
    : `${exif.focalLength35mm} mm instead of ${profile.focalLength35mm} mm in 35 mm terms`;

const lensWords = (facts: {
  lensModel: string | null;
  focalLengthMm: number | null;
  focalLength35mm: number | null;
}): string =>
  [
    facts.lensModel,
    facts.focalLengthMm && `${facts.focalLengthMm} mm`,
    facts.focalLength35mm && `${facts.focalLength35mm} mm in 35 mm terms`,
  ]
    .filter(Boolean)
    .join(", ") || "unnamed";

/** Long side over short side. */
const aspect = (p: { width: number; height: number }): number =>
  Math.max(p.width, p.height) / Math.min(p.width, p.height);

/**
 * Scale factor of a plain resize, or null where no single factor gives both sides. Each side may
 * be rounded, up or down, to a whole pixel.
 */
const resizeFactor = (photo: PhotoIdentity, profile: CameraIdentity): number | null => {
  const lowest = Math.max((photo.width - 1) / profile.width, (photo.height - 1) / profile.height);
  const highest = Math.min((photo.width + 1) / profile.width, (photo.height + 1) / profile.height);
  if (lowest > highest) return null;
  return Math.sqrt((photo.width * photo.height) / (profile.width * profile.height));
};

/** Refusals for a picture whose size is not the profile's and no plain resize of it. */
const shapeObjection = (photo: PhotoIdentity, profile: CameraIdentity): IdentityMatch => {
  const turned = { ...photo, width: photo.height, height: photo.width };
  if (resizeFactor(turned, profile) !== null)
    return refuse(
      photo,
      "turned",
      `${photo.name} is ${size(photo)}, the profile ${size(profile)}: the picture was turned and saved again, and nothing says which way.`,
      "Use the original file from the phone, neither turned nor edited.",
    );
  if (!photo.exif?.make && !photo.exif?.focalLengthMm && aspect(photo) > 1.85)
    return refuse(
      photo,
      "screenshot",
      `${photo.name} (${size(photo)}) has the shape of a screen, not of a photo, and names no camera: it looks like a screenshot.`,
      "Use the original photo from the camera roll.",
    );
  if (aspect(photo) > 2.2) return panorama(photo);
  if (photo.width <= profile.width && photo.height <= profile.height)
    return refuse(
      photo,
      "cropped",
      `${photo.name} is ${size(photo)} and cannot be a smaller copy of ${size(profile)}: it was cropped, or taken with another picture format (16:9, square).`,
      "Use the original, uncropped file; in the camera app choose the picture format of the camera step.",
    );
  return refuse(
    photo,
    "other-size",
    `${photo.name} is ${size(photo)}, the camera profile ${size(profile)}.`,
    "Set the camera app to the resolution of the camera step, or do the camera step with this setting.",
  );
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
  const proven = namesTheSamePhone(photo.exif, identity);
  const contradicts = sizeContradicts(photo);
  const remarks = proven ? [] : [unnamed(photo)];
  const lens = lensFromVector(lensOrder.map((name) => profile.lens[name]));
  const { focalSd, shiftSdPx } = profile.spread;
  if (photo.width === identity.width && photo.height === identity.height)
    return {
      kind: "same",
      proven: proven && !contradicts,
      factor: 1,
      lens,
      covariance: Float64Array.from(profile.covariance),
      focalSd,
      shiftSdPx,
      remarks: contradicts ? [...remarks, contradiction(photo)] : remarks,
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
    proven: false,
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

const namesTheSamePhone = (exif: ExifFacts | null, profile: CameraIdentity): boolean =>
  Boolean(exif?.model && profile.model && sameText(exif.model, profile.model));

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
