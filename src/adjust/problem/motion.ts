import type { BoardObservation, PhotoStatement, Readout } from "./problem.ts";

/**
 * Motion of a hand-held camera while the rows of one photo are read out (rolling shutter). A point
 * at X in the camera frame of the middle row is, at the row that shows it, at
 *
 *   X + (t turn + q(t) sway) x X + t shift,   q(t) = 4 t^2 - 1/3,
 *
 * t running from -1/2 at the first row to 1/2 at the last: first order in the motion about the
 * pose of the middle row. Turn and shift are thus the whole change from first to last row (camera
 * axes; rad and mm). Sway is the bend in the turn's course, as a trembling hand makes it: its
 * course has mean zero over the photo and differs by one sway between the middle row and either
 * end. Six numbers a photo for photos independent of each other: Duchamp, Ait-Aider, Royer and
 * Lavest, A rolling shutter compliant method for localisation and reconstruction, VISAPP 2015. The
 * bent part is ours.
 */
export const motionSize = 9;

/** Courses of the linear and of the bent part at a line of the sensor: t and q(t). */
export interface LineTimes {
  readonly linear: Float64Array;
  readonly bent: Float64Array;
}

/**
 * When each feature of a view was read. By its observed line: a tenth of a pixel more or less
 * changes the motion by nothing.
 */
export const lineTimes = (
  { readout }: PhotoStatement,
  { pixels }: Pick<BoardObservation, "pixels">,
): LineTimes | null => {
  if (!readout) return null;
  const coordinate = readout.along === "rows" ? 1 : 0;
  const linear = new Float64Array(pixels.length / 2);
  const bent = new Float64Array(linear.length);
  for (let i = 0; i < linear.length; i++) {
    const t = (pixels[2 * i + coordinate] + 0.5) / readout.length - 0.5;
    linear[i] = t;
    bent[i] = 4 * t * t - 1 / 3;
  }
  return { linear, bent };
};

/**
 * In which direction a stored picture was read out. Phone sensors are wider than tall and are read
 * line by line, each line along the long side: the lines follow each other along the short side.
 * A picture stored as the sensor gave it is therefore read along y, whatever its EXIF turn; one that
 * is stored upright was turned by a program and is read along x. Whether from the first line or from
 * the last makes no difference: the motion's sign is free. Nor does a wrong direction matter much: to
 * first order what a motion does to a picture read along y (shear and stretch) is, but for a turn and a
 * distance of the camera, what another motion does to one read along x. The photos can therefore hardly
 * tell the two apart (in three simulated bays the right one fitted better by 22 of 3,600 at the sheet and
 * worse by 16 of 1,900 in the bay), and the checks moved by 0.02 to 0.14 mm, inside their intervals.
 */
export const readoutOf = ({
  width,
  height,
}: {
  readonly width: number;
  readonly height: number;
}): Readout =>
  width >= height ? { along: "rows", length: height } : { along: "columns", length: width };
