/** What the simulated phone writes beside its pictures. */
import type { ExifFacts } from "../../../src/photo/exif/exif-facts.ts";
import type { Shot } from "../../tools/phone/shots.ts";

export const exifOf = ({ phone, exposureS, name }: Shot): ExifFacts => ({
  make: "Invented",
  model: `Phone ${Math.round(phone.lens.focalPx)}`,
  lensModel: "main camera",
  focalLengthMm: Math.round(phone.lens.focalMm * 100) / 100,
  focalLength35mm: Math.round((phone.lens.focalPx * 43.27) / 5040),
  digitalZoom: 1,
  orientation: 1,
  exposureTimeS: exposureS,
  fNumber: Math.round((phone.lens.focalMm / phone.lens.openingMm / 2) * 10) / 10,
  iso: 200,
  takenAt: name.startsWith("after") ? "2026:01:02 04:05:06" : "2026:01:02 03:04:05",
  software: null,
  exifWidth: phone.lens.width,
  exifHeight: phone.lens.height,
  customRendered: null,
});
