import type { ExifFacts } from "../photo/exif/exif-facts.ts";
import type { Remark } from "./codes.ts";
import type { CameraIdentity } from "./profile.ts";

/**
 * Why a photo cannot come from the lens of a profile: what its EXIF says, and what its size rules
 * out. Each refusal is a sentence with what to do instead.
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

export interface Refusal {
  readonly kind: "refused";
  readonly code: RefusalCode;
  readonly remark: Remark;
}

export const positiveOrNull = (value: number | null | undefined): number | null =>
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
export const zoomOf = (exif: ExifFacts | null): number => positiveOrNull(exif?.digitalZoom) ?? 1;

export const sameText = (a: string, b: string): boolean =>
  a.trim().toLowerCase() === b.trim().toLowerCase();

/** True where the EXIF names the phone of a profile. */
export const exifNames = (exif: ExifFacts | null, profile: CameraIdentity): boolean =>
  Boolean(exif?.model && profile.model && sameText(exif.model, profile.model));

const bothAndDiffer = (a: string | null | undefined, b: string | null): boolean =>
  Boolean(a) && Boolean(b) && !sameText(a!, b!);

const bothAndFarApart = (
  a: number | null | undefined,
  b: number | null,
  relative: number,
): boolean => Boolean(a) && Boolean(b) && Math.abs(a! - b!) > relative * b!;

/** A refusal of a photo; the remark's code is "photo-" and the code. */
export const refuse = (
  photo: PhotoIdentity,
  code: RefusalCode,
  message: string,
  remedy: string,
): Refusal => ({
  kind: "refused",
  code,
  remark: { code: `photo-${code}`, severity: "error", message, remedy, about: photo.name },
});

/** "4032 x 3024". */
export const size = (p: { width: number; height: number }): string => `${p.width} x ${p.height}`;
const phone = (make: string | null | undefined, model: string | null | undefined): string =>
  [make, model].filter(Boolean).join(" ") || "an unnamed phone";

/** Refusal of a picture that the phone computed from several or cut out of the background. */
export const computedPicture = (photo: PhotoIdentity): Refusal | null => {
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
export const exifObjection = (photo: PhotoIdentity, profile: CameraIdentity): Refusal | null => {
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
export const resizeFactor = (photo: PhotoIdentity, profile: CameraIdentity): number | null => {
  const lowest = Math.max((photo.width - 1) / profile.width, (photo.height - 1) / profile.height);
  const highest = Math.min((photo.width + 1) / profile.width, (photo.height + 1) / profile.height);
  if (lowest > highest) return null;
  return Math.sqrt((photo.width * photo.height) / (profile.width * profile.height));
};

/** Refusals for a picture whose size is not the profile's and no plain resize of it. */
export const shapeObjection = (photo: PhotoIdentity, profile: CameraIdentity): Refusal => {
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
