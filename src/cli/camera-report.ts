import type { CameraOutcome, PhotoReport } from "../calibrate/outcome.ts";
import type { Lens } from "../lens/lens.ts";
import { lensUncertainty } from "../lens/profile.ts";
import { wrapText } from "../say/wrap-text.ts";

/** The camera step's answer as text of at most 80 columns. */
export const cameraText = (outcome: Extract<CameraOutcome, { ok: true }>): string => {
  const { profile, photos, choice, remarks } = outcome;
  const { identity, lens, spread } = profile;
  const phone = [identity.make, identity.model].filter(Boolean).join(" ") || "Unnamed phone";
  const sd = lensUncertainty(profile.covariance);
  const lines = [
    `${phone}, ${identity.width} x ${identity.height}, ${profile.photos} photos of the camera sheet`,
    "",
    ...effectLines(profile.effectAt4mMm),
    `Residual ${profile.residualPx.toFixed(3)} px${heldOut(profile.heldOutPx)}; lens model: ${choice.model.name}.`,
    `From photo to photo the focal length changes by ${(100 * spread.focalSd).toFixed(2)} % and`,
    `the principal point by ${spread.shiftSdPx.toFixed(1)} px (standard deviations).`,
    "",
    "lens        value   standard uncertainty",
    ...(Object.keys(sd) as (keyof Lens)[]).map((name) => lensLine(name, lens[name], sd[name])),
    "",
    "photo                     tilt  distance  features  residual  left out",
    ...photos.map(photoLine),
  ];
  if (remarks.length > 0) {
    lines.push("");
    for (const { message, remedy } of remarks)
      lines.push(wrapText(`- ${message} ${remedy}`, "", "  ", 78));
  }
  return lines.join("\n");
};

const effectLines = (mm: number | null): string[] =>
  mm === null
    ? []
    : [
        `The lens adds ${mm < 0.05 ? "less than 0.1" : mm.toFixed(1)} mm to the uncertainty of a 4 m distance (95 %).`,
      ];

const heldOut = (px: number | null): string =>
  px === null ? "" : `, ${px.toFixed(3)} px in photos left out`;

const lensLine = (name: string, value: number, sd: number): string => {
  const digits = name.startsWith("f") || name.startsWith("c") ? 2 : 6;
  return `${name.padEnd(4)}${value.toFixed(digits).padStart(13)}   ${sd.toFixed(digits)}${value === 0 ? "  (not needed)" : ""}`;
};

const photoLine = (photo: PhotoReport): string =>
  [
    photo.photo.slice(0, 24).padEnd(24),
    `${photo.tiltDeg.toFixed(0)} deg`.padStart(6),
    `${photo.distanceMm.toFixed(0)} mm`.padStart(9),
    String(photo.features).padStart(9),
    (photo.used ? photo.residualPx.toFixed(3) : "not used").padStart(9),
    (photo.heldOutPx === null ? "" : photo.heldOutPx.toFixed(3)).padStart(9),
  ].join(" ");
