/**
 * Where places of a print are seen in a photo whose rows are read one after the other: the row is
 * found that is read just when the place is seen in it.
 */
import { onPrint, type TruePrint } from "./bay.ts";
import { motionAt, poseAt } from "./hand.ts";
import { seenAt } from "./lens.ts";
import { apply, inverse, type Rigid, type V3 } from "./maths.ts";
import { type Shot, stabilisedShift, timeOfRow } from "./shots.ts";

/** Pixel of a world point at time t, by the ray through the middle of the opening; null behind. */
export const seenAtTime = (shot: Shot, place: V3, t: number): [number, number] | null => {
  const camera = poseAt(shot.worldFromCamera, shot.hand, t);
  const [x, y, z] = apply(inverse(camera), place);
  if (!(z > 0)) return null;
  const shift = stabilisedShift(shot, motionAt(shot.hand, t).turned);
  return seenAt(shot.phone.lens, shot.state, x / z, y / z, shift);
};

/** Pixel of a world point in the stored photo; null behind the camera. */
export const seenInPhoto = (shot: Shot, place: V3): [number, number] | null => {
  let row = (shot.phone.lens.height - 1) / 2;
  for (let i = 0; i < 50; i++) {
    const at = seenAtTime(shot, place, timeOfRow(shot, row));
    if (!at) return null;
    if (Math.abs(at[1] - row) < 1e-10) return at;
    row = at[1];
  }
  throw new Error("no row reads this place: the motion outruns the read-out");
};

/** Pixels of places of a print (cells x0 y0 x1 y1 ..); null where one is behind the camera. */
export const cornersInPhoto = (
  shot: Shot,
  print: TruePrint,
  worldFromBoard: Rigid,
  places: ArrayLike<number>,
): Float64Array | null => {
  const pixels = new Float64Array(places.length);
  for (let i = 0; i < places.length; i += 2) {
    const at = seenInPhoto(shot, apply(worldFromBoard, onPrint(print, places[i], places[i + 1])));
    if (!at) return null;
    pixels.set(at, i);
  }
  return pixels;
};
