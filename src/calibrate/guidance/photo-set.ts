import { otherProgramRemarks } from "../../lens/other-program.ts";
import { computedPicture } from "../../lens/photo-refusals.ts";
import type { ExifFacts } from "../../photo/exif/exif-facts.ts";
import type { SaidValues } from "../../say/remark.ts";
import type { CalibrateCode, Remark } from "../photos/codes.ts";
import { cornerAsShown, missingCorners, quarterTurns, type SeenPoints } from "./coverage.ts";

/**
 * What can be said about a set of sheet photos before anything is computed: do they come from one
 * lens, are they enough, do they look at the sheet from enough sides?
 */

/** Fewer sheet photos than this say too little about the lens. */
export const fewestPhotos = 4;
/** A photo in which fewer of the sheet's features were found is of little use. */
export const fewestFeatures = 12;

export interface SheetPhotoFacts extends SeenPoints {
  readonly photo: string;
  readonly exif: ExifFacts | null;
  /** Angle between the sheet's normal and the line of sight, degrees. */
  readonly tiltDeg: number;
}

interface Difference {
  readonly code: CalibrateCode;
  readonly sentence: (photo: SheetPhotoFacts, usual: SheetPhotoFacts) => string;
  readonly values?: (photo: SheetPhotoFacts, usual: SheetPhotoFacts) => SaidValues;
  readonly remedy: string;
  readonly key: (photo: SheetPhotoFacts) => string;
}

const text = (value: string | number | null | undefined): string => String(value ?? "");

/** Properties that all photos of one lens share, those that separate lenses best first. */
const sharedProperties: readonly Difference[] = [
  {
    code: "photo-of-unknown-phone",
    key: ({ exif }) => (exif?.model ? "named" : "unnamed"),
    sentence: (photo, usual) =>
      usual.exif?.model
        ? `${photo.photo} does not say which phone took it (its EXIF data are gone); most others were taken with ${usual.exif.model}.`
        : `${photo.photo} was taken with ${text(photo.exif?.model)}; most others do not say which phone took them.`,
    values: (photo, usual) => ({
      named: usual.exif?.model ? "no" : "yes",
      phone: text(usual.exif?.model ?? photo.exif?.model),
    }),
    remedy: "Use the files as the phone wrote them, copied by cable or sent as files.",
  },
  {
    code: "photo-of-another-phone",
    key: ({ exif }) => `${text(exif?.make)}|${text(exif?.model)}`,
    sentence: (photo, usual) =>
      `${photo.photo} was taken with ${text(photo.exif?.model) || "an unnamed phone"}, most others with ${text(usual.exif?.model) || "an unnamed phone"}.`,
    values: (photo, usual) => ({
      phone: text(photo.exif?.model) || "?",
      usual: text(usual.exif?.model) || "?",
    }),
    remedy: "Do the camera step with the photos of one phone; take this one again with that phone.",
  },
  {
    code: "photo-of-another-size",
    key: ({ width, height }) => `${width}x${height}`,
    sentence: (photo, usual) =>
      photo.width === usual.height && photo.height === usual.width
        ? `${photo.photo} is ${photo.width} x ${photo.height}, most others ${usual.width} x ${usual.height}: it was turned and saved again.`
        : `${photo.photo} is ${photo.width} x ${photo.height}, most others ${usual.width} x ${usual.height}.`,
    values: (photo, usual) => ({
      size: `${photo.width} x ${photo.height}`,
      usual: `${usual.width} x ${usual.height}`,
    }),
    remedy: "Use the original files, all taken with one setting of the camera app.",
  },
  {
    code: "photo-through-another-lens",
    key: ({ exif }) =>
      `${text(exif?.lensModel)}|${text(exif?.focalLengthMm?.toFixed(1))}|${text(exif?.focalLength35mm)}`,
    sentence: (photo, usual) =>
      `${photo.photo} was taken through another lens of the phone or with zoom (${text(photo.exif?.focalLengthMm) || "?"} mm, most others ${text(usual.exif?.focalLengthMm) || "?"} mm).`,
    values: (photo, usual) => ({
      focal: text(photo.exif?.focalLengthMm) || "?",
      usual: text(usual.exif?.focalLengthMm) || "?",
    }),
    remedy:
      "Keep the zoom at 1x, and stay far enough away that the phone does not switch to its close-up lens.",
  },
  {
    code: "photo-with-digital-zoom",
    key: ({ exif }) => (exif?.digitalZoom || 1).toFixed(2),
    sentence: (photo) => `${photo.photo} was taken with another digital zoom than most others.`,
    remedy: "Keep the zoom at 1x for all photos.",
  },
];

const mostCommon = (keys: readonly string[]): string => {
  const counts = new Map<string, number>();
  for (const key of keys) counts.set(key, (counts.get(key) ?? 0) + 1);
  return [...counts].reduce((best, entry) => (entry[1] > best[1] ? entry : best))[0];
};

export interface OneLens<T> {
  readonly kept: readonly T[];
  readonly remarks: readonly Remark[];
}

/** Keeps the photos of the most common lens and says of every other one why it does not belong. */
export const photosOfOneLens = <T extends SheetPhotoFacts>(photos: readonly T[]): OneLens<T> => {
  const remarks: Remark[] = photos.flatMap((photo) => {
    const computed = computedPicture({ ...photo, name: photo.photo });
    if (!computed) return [];
    const { remark } = computed;
    return [{ ...remark, severity: "warning", message: `${remark.message} It was left out.` }];
  });
  const computed = new Set(remarks.map(({ about }) => about));
  let kept = photos.filter(({ photo }) => !computed.has(photo));
  for (const { code, key, sentence, values, remedy } of sharedProperties) {
    if (kept.length === 0) break;
    const usualKey = mostCommon(kept.map(key));
    const usual = kept.find((photo) => key(photo) === usualKey)!;
    for (const photo of kept)
      if (key(photo) !== usualKey)
        remarks.push({
          code,
          values: { photo: photo.photo, ...values?.(photo, usual) },
          severity: "warning",
          message: `${sentence(photo, usual)} It was left out.`,
          remedy,
          about: photo.photo,
        });
    kept = kept.filter((photo) => key(photo) === usualKey);
  }
  const named = kept.map(({ photo, exif }) => ({ name: photo, exif }));
  return { kept, remarks: [...remarks, ...otherProgramRemarks(named)] };
};

/** Remarks about how the set as a whole looks at the sheet; none where all is well. */
export const viewpointRemarks = (photos: readonly SheetPhotoFacts[]): Remark[] => {
  const remarks: Remark[] = [];
  const tilts = photos.map((photo) => photo.tiltDeg);
  const tilted = tilts.filter((tilt) => tilt >= 15).length;
  if (tilted === 0)
    remarks.push({
      code: "no-tilt",
      values: { largest: Math.max(...tilts) },
      severity: "error",
      message: `All photos look at the sheet nearly face on (largest tilt ${Math.max(...tilts).toFixed(0)} degrees); the focal length cannot be told from the distance.`,
      remedy:
        "Take at least four more photos at a slant of 30 to 45 degrees, from different sides.",
    });
  else if (tilted < 4)
    remarks.push({
      code: "little-tilt",
      values: { tilted, count: photos.length },
      severity: "warning",
      message: `Only ${tilted} of ${photos.length} photos look at the sheet at a slant.`,
      remedy: "Add photos at a slant of 30 to 45 degrees from different sides.",
    });
  const turns = quarterTurns(photos);
  const missing = missingCorners(photos).map((corner) => cornerAsShown(corner, turns));
  if (missing.length > 0)
    remarks.push({
      code: "corner-not-covered",
      values: { corners: missing },
      severity: "warning",
      message: `No photo shows the sheet near the ${missing.join(", ")} of the picture; the lens is only guessed there.`,
      remedy: `Add photos with the sheet in the ${missing.join(" and ")} of the picture.`,
    });
  return remarks;
};

/** That fewer photos than `fewestPhotos` can be used. */
export const tooFewRemark = (usable: number, given: number): Remark => ({
  code: "too-few-photos",
  values: { usable, fewest: fewestPhotos },
  severity: "error",
  message: `Only ${usable} of ${given} photos can be used for the camera step; at least ${fewestPhotos} are needed, and 10 to 14 are good.`,
  remedy:
    "Take more photos of the camera sheet from different sides, with the whole sheet in view.",
});

/** Two photos closer than this, as a share of the picture's width, show the same again. */
const alikeShare = 0.015;

/** Root mean square distance between the features of two photos, or null for different counts. */
const featureDistance = (a: SheetPhotoFacts, b: SheetPhotoFacts): number | null => {
  if (a.pixels.length !== b.pixels.length || a.pixels.length === 0) return null;
  let sum = 0;
  for (let i = 0; i < a.pixels.length; i++) sum += (a.pixels[i] - b.pixels[i]) ** 2;
  return Math.sqrt((2 * sum) / a.pixels.length);
};

/** Photos that repeat an earlier one: no harm, but nothing new either. */
export const alikeRemarks = (photos: readonly SheetPhotoFacts[]): Remark[] =>
  photos.flatMap((photo, i) => {
    const similar = photos.slice(0, i).find((earlier) => {
      const distance = featureDistance(photo, earlier);
      return distance !== null && distance < alikeShare * photo.width;
    });
    if (!similar) return [];
    return [
      {
        code: "photo-alike",
        values: { photo: photo.photo, twin: similar.photo },
        severity: "info",
        message: `${photo.photo} shows the sheet almost as ${similar.photo} does and adds little.`,
        remedy: "Change the place, the slant or the turn of the phone between photos.",
        about: photo.photo,
      },
    ];
  });
