/**
 * Where in the frame, and at what tilts, a set of sheet photos has looked. A lens is only known
 * where features were: elsewhere the distortion is an extrapolation of the polynomial.
 */

/** Cells over the frame; about square for 4:3. */
export const coverageColumns = 8;
export const coverageRows = 6;

/** The pixels of one photo, x0 y0 x1 y1 .., with the size of the frame. */
export interface SeenPoints {
  readonly width: number;
  readonly height: number;
  readonly pixels: ArrayLike<number>;
}

/** Features per cell of the frame, row by row from the top left. */
export const countCells = (photos: readonly SeenPoints[]): number[] => {
  const counts = new Array<number>(coverageColumns * coverageRows).fill(0);
  for (const { width, height, pixels } of photos)
    for (let i = 0; i + 1 < pixels.length; i += 2) {
      const column = Math.floor(((pixels[i] + 0.5) / width) * coverageColumns);
      const row = Math.floor(((pixels[i + 1] + 0.5) / height) * coverageRows);
      if (column >= 0 && column < coverageColumns && row >= 0 && row < coverageRows)
        counts[row * coverageColumns + column]++;
    }
  return counts;
};

/** Share of the cells that hold at least one feature, 0 to 1. */
export const coveredShare = (counts: readonly number[]): number =>
  counts.filter((count) => count > 0).length / counts.length;

export type FrameCorner = "top left" | "top right" | "bottom left" | "bottom right";

const cornersRound: readonly FrameCorner[] = [
  "top left",
  "top right",
  "bottom right",
  "bottom left",
];

/** A corner of the frame as stored, in words of the picture turned clockwise by quarter turns. */
export const cornerAsShown = (corner: FrameCorner, turns: number): FrameCorner =>
  cornersRound[(cornersRound.indexOf(corner) + turns) % cornersRound.length];

/**
 * Quarter turns clockwise that bring pixels as stored to the picture as the phone shows it (EXIF
 * Orientation, CIPA DC-008: 6 = right top, 3 = bottom right, 8 = left bottom), for most photos.
 */
export const quarterTurns = (
  photos: readonly { readonly exif: { readonly orientation: number | null } | null }[],
): number => {
  const turnsOf: Record<number, number> = { 6: 1, 3: 2, 8: 3 };
  const counts = [0, 0, 0, 0];
  for (const { exif } of photos) counts[turnsOf[exif?.orientation ?? 1] ?? 0]++;
  return counts.indexOf(Math.max(...counts));
};

const cornerDirections: Record<FrameCorner, readonly [number, number]> = {
  "top left": [-1, -1],
  "top right": [1, -1],
  "bottom left": [-1, 1],
  "bottom right": [1, 1],
};

/**
 * How far towards each corner of the frame features reach: 0 = only the centre, 1 = the corner
 * itself, along the diagonal (the smaller of the two coordinates' shares counts).
 */
export const cornerReach = (photos: readonly SeenPoints[]): Record<FrameCorner, number> => {
  const reach = { "top left": 0, "top right": 0, "bottom left": 0, "bottom right": 0 };
  for (const { width, height, pixels } of photos)
    for (let i = 0; i + 1 < pixels.length; i += 2) {
      const x = (2 * (pixels[i] + 0.5)) / width - 1;
      const y = (2 * (pixels[i + 1] + 0.5)) / height - 1;
      for (const [corner, [sx, sy]] of Object.entries(cornerDirections)) {
        const towards = Math.min(x * sx, y * sy);
        const name = corner as FrameCorner;
        if (towards > reach[name]) reach[name] = towards;
      }
    }
  return reach;
};

/** A corner reached less than this is asked for; common practice, no source. */
const enoughReach = 0.7;

/** Corners of the frame as stored that no feature comes near. */
export const missingCorners = (photos: readonly SeenPoints[]): FrameCorner[] => {
  const reach = cornerReach(photos);
  return (Object.keys(cornerDirections) as FrameCorner[]).filter((c) => reach[c] < enoughReach);
};
