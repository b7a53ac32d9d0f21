import { sheetMarkers } from "../../boards/sheet.ts";
import { degrees, invert, norm, type Pose, unit, type Vec3 } from "../../maths/pose.ts";
import type { Remark } from "./codes.ts";
import type { SheetPhoto } from "./sheet-photo.ts";

/** Remarks about the results of the adjustment of the sheet photos. */

/** Sheet length along which a bend is stated, mm. */
export const bendLengthMm = 250;

export const partlySeenRemarks = (photos: readonly SheetPhoto[]): Remark[] =>
  photos.flatMap(({ photo, view }) => {
    const found = view.boardPoints.length / 2;
    const { coveredShare: covered, burntFeatures: burnt = 0 } = view.quality;
    if (burnt >= fewestBurnt) return [reflects(photo, burnt)];
    if (found >= 0.55 * sheetMarkers.length && covered <= 0.3) return [];
    return [
      {
        code: "sheet-partly-seen",
        values: { photo, found, of: sheetMarkers.length },
        severity: "info",
        message: `In ${photo} only ${found} of the sheet's ${sheetMarkers.length} markers were used: part of it is outside the picture, covered, or glossy paper reflects a light.`,
        remedy:
          "If that was not meant, take it again with the sheet free and no lamp mirrored in it.",
        about: photo,
      },
    ];
  });

/** One marker in pure white is no sign of a lamp's reflection. */
const fewestBurnt = 2;

const reflects = (photo: string, burnt: number): Remark => ({
  code: "sheet-reflects",
  values: { photo, missing: burnt, of: sheetMarkers.length },
  severity: "warning",
  message: `In ${photo} the sheet mirrors a light: ${burnt} of its ${sheetMarkers.length} markers are lost in pure white. The rest was used.`,
  remedy:
    "Switch the lamp off or shade it, or step aside so that it is not mirrored, and take the photo again.",
  about: photo,
});

export const bendRemarks = (sagittaMm: number, sdMm: number): Remark[] => {
  const size = Math.abs(sagittaMm);
  if (size < 0.5 || size < 4 * sdMm) return [];
  return [
    {
      code: "sheet-bent",
      values: { size },
      severity: "warning",
      message: `The sheet is bent by ${size.toFixed(1)} mm over its length; the bend was estimated along, at a loss of accuracy, and only a simple bend can be.`,
      remedy:
        "Glue the sheet to something flat, or show it on a flat screen, and take the photos again.",
    },
  ];
};

/** Width against height by which a sheet counts as stretched. */
const leastStretch = 0.003;

/**
 * Phone pixels are square; a difference between fx and fy is the sheet's. `stretch`: the
 * sheet's own s (width (1 + s), height / (1 + s)) as estimated from photos in several orientations;
 * fx and fy do not contain that part.
 */
export const stretchRemarks = (fx: number, fy: number, stretch: number): Remark[] => {
  const ofLens = fx / fy - 1;
  if (Math.abs(ofLens) >= leastStretch) return [stretchInLens(ofLens)];
  const ofSheet = (1 + stretch) ** 2 - 1;
  return Math.abs(ofSheet) < leastStretch ? [] : [stretchAllowedFor(ofSheet)];
};

const stretchAllowedFor = (stretch: number): Remark => ({
  code: "sheet-two-scales",
  values: { share: Math.abs(stretch), way: stretch > 0 ? "wider" : "taller" },
  severity: "info",
  message: `The sheet is printed ${(100 * Math.abs(stretch)).toFixed(2)} % ${stretch > 0 ? "wider" : "taller"} than it should be; the lens was freed of that.`,
  remedy: "Boards from the same printer are stretched alike: measure both check bars.",
});

const stretchInLens = (stretch: number): Remark => ({
  code: "sheet-stretched",
  values: { share: Math.abs(stretch) },
  severity: "warning",
  message: `The focal lengths along and across the picture differ by ${(100 * Math.abs(stretch)).toFixed(1)} %, which no phone does: the sheet was printed with different scales along and across.`,
  remedy: "Print the sheet at 100 % from another program or printer; measure both check bars.",
});

export const noiseRemarks = (noiseScale: number, residualPx: number): Remark[] =>
  noiseScale < 3
    ? []
    : [
        {
          code: "features-noisy",
          values: { residual: residualPx, factor: noiseScale },
          severity: "warning",
          message: `The features miss by ${residualPx.toFixed(2)} px, ${noiseScale.toFixed(0)} times what their sharpness promises; the uncertainty was widened to match.`,
          remedy:
            "Check that the sheet is flat and lies still, and hold the phone steady in good light.",
        },
      ];

/** The rounds of the variance components ended before they converged. */
export const unsettled: Remark = {
  code: "changes-unsettled",
  severity: "warning",
  message:
    "How far this phone's focal length and image shift from photo to photo could not be settled; " +
    "the uncertainty of the lens is less sure than it looks.",
  remedy: "Take more photos of the sheet, at a slant and from different sides.",
};

/** Smallest cone, degrees, that holds all lines of sight from the sheet to the phone. */
const sightSpread = (cameraFromSheet: readonly Pose[]): number => {
  const sights = cameraFromSheet.map((pose) => unit(invert(pose).t));
  let widest = 0;
  for (const a of sights)
    for (const b of sights)
      widest = Math.max(
        widest,
        degrees(2 * Math.asin(Math.min(1, norm([a[0] - b[0], a[1] - b[1], a[2] - b[2]]) / 2))),
      );
  return widest;
};

export const placeRemarks = (cameraFromSheet: readonly Pose[]): Remark[] => {
  const spread = sightSpread(cameraFromSheet);
  if (spread >= 20) return [];
  return [
    {
      code: "all-from-one-place",
      values: { spread },
      severity: "error",
      message: `All photos look at the sheet from nearly one side (within ${spread.toFixed(0)} degrees); distance, focal length and distortion cannot be told apart.`,
      remedy:
        "Walk round the sheet: take photos at a slant of 30 to 45 degrees from all four sides.",
    },
  ];
};

/** Angle between the sheet's normal and the line of sight to its centre, degrees. */
export const tiltDegrees = ({ R, t }: Pose): number => {
  const normal: Vec3 = [R[2], R[5], R[8]];
  const cosine = -(normal[0] * t[0] + normal[1] * t[1] + normal[2] * t[2]) / norm(t);
  return degrees(Math.acos(Math.min(1, Math.max(-1, cosine))));
};
