/** What a photo's EXIF says about how it was taken; null where the camera did not write it. */
export interface ExifFacts {
  readonly make: string | null;
  readonly model: string | null;
  readonly lensModel: string | null;
  readonly focalLengthMm: number | null;
  readonly focalLength35mm: number | null;
  readonly digitalZoom: number | null;
  readonly orientation: number | null;
  readonly exposureTimeS: number | null;
  readonly fNumber: number | null;
  readonly iso: number | null;
  readonly takenAt: string | null;
  readonly software: string | null;
  /** Pixel size the camera wrote into the EXIF, which an editor or messenger may contradict. */
  readonly exifWidth: number | null;
  readonly exifHeight: number | null;
  /** CustomRendered: 0 = normal, 1 = custom, other values are the makers' own. */
  readonly customRendered: number | null;
}

/** What is known of a photo whose file says nothing. */
export const noFacts: ExifFacts = {
  make: null,
  model: null,
  lensModel: null,
  focalLengthMm: null,
  focalLength35mm: null,
  digitalZoom: null,
  orientation: null,
  exposureTimeS: null,
  fNumber: null,
  iso: null,
  takenAt: null,
  software: null,
  exifWidth: null,
  exifHeight: null,
  customRendered: null,
};
