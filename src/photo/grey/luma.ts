/**
 * The grey picture that everything measures on: the luma plane of a photo, one byte per pixel.
 *
 * It always has the sensor's orientation: EXIF rotation is never applied, so that the camera's lens
 * model stays valid whichever way the phone was held.
 */
export interface LumaImage {
  /** Columns, px. */
  readonly width: number;
  /** Rows, px. */
  readonly height: number;
  /** Row-major grey values, `width * height` bytes, top-left pixel first. */
  readonly data: Uint8Array;
}
