import { tagCells } from "../../boards/pattern.ts";
import { isSheetMarkerId } from "../../boards/sheet.ts";
import type { LumaImage } from "../../photo/grey/luma.ts";
import type { PlaneMap } from "../picture/plane-map.ts";
import { meanCellPx } from "../quality/quality.ts";
import {
  fitRing,
  type ProvenBoard,
  quadArea,
  type RingFit,
  startFromTag,
} from "../ring/ring-fit.ts";
import { type Reading, readTag } from "../tags/decode.ts";

/** Wrong cells of a tag without a ring around it that may still be a board. Our own, no source. */
const maxErrorsUnproven = 2;
/** A quadrilateral whose middle is nearer to a known board's than this, cells, belongs to it: the board's half side is 7. */
const ownReachCells = 6;
/** Smallest mean cell of a tag, px: 3 px seen at 70 degrees are 1.75 px. Our own, no source. */
const leastCellPx = 1.2;
/** Smallest area over the square of the longest side; less is too narrow for a tag. Our own, no source. */
const leastAreaShare = 0.12;

/** Boards hidden among the quadrilaterals that the tag finder could not read. */
export interface Rescued {
  readonly boards: readonly ProvenBoard[];
  /** Ids of prints that are mirror images. */
  readonly mirrored: readonly number[];
}

/**
 * Looks for rings around dark quadrilaterals without a readable tag. A ring proves a board, and
 * through its exact map the tag is read again, which finds small and blurred boards and recognises
 * mirrored prints. Where no ring shows, the tag is read through its own outline, and the whole-pattern
 * fit has to prove it. `known` boards are not looked at again.
 */
export function rescueBoards(
  image: LumaImage,
  quads: readonly Float64Array[],
  known: readonly ProvenBoard[],
  map: PlaneMap,
): Rescued {
  const boards: ProvenBoard[] = [];
  const taken = known.map(placeOf);
  const mirrored = new Set<number>();
  for (const quad of quads) {
    if (!plausible(quad) || taken.some((place) => inside(place, quad))) continue;
    for (let turn = 0; turn < 2; turn++) {
      const corners = turned(quad, turn);
      const ring = fitRing(image, corners, map);
      const fit = ring ?? startFromTag(image, corners, map);
      if (!fit) continue;
      const reading = readTag(image, fit.homography, map);
      if (!reading || isSheetMarkerId(reading.id)) continue;
      if (!ring && (reading.mirrored || reading.errors > maxErrorsUnproven)) continue;
      if (reading.mirrored) {
        taken.push(placeOf({ id: reading.id, fit }));
        mirrored.add(reading.id);
        break;
      }
      const again = upright(image, corners, reading, fit, map);
      if (!again) continue;
      boards.push({ id: reading.id, fit: again });
      taken.push(placeOf({ id: reading.id, fit }));
      break;
    }
  }
  return { boards, mirrored: [...mirrored] };
}

/**
 * The fit with the board's own axes. The tag is read once more: the ring looks the same upside down,
 * and a board that is laid the wrong way round would still get a number.
 */
function upright(
  image: LumaImage,
  corners: Float64Array,
  { id, turns }: Reading,
  fit: RingFit,
  map: PlaneMap,
): RingFit | null {
  if (turns === 0) return fit;
  const own = turned(corners, 4 - turns);
  const again = fitRing(image, own, map) ?? startFromTag(image, own, map);
  const reading = again && readTag(image, again.homography, map);
  return reading?.id === id && reading.turns === 0 ? again : null;
}

interface Place {
  readonly x: number;
  readonly y: number;
  readonly reach: number;
}

const placeOf = ({ fit }: ProvenBoard): Place => ({
  x: fit.homography[2],
  y: fit.homography[5],
  reach: ownReachCells * meanCellPx(fit.homography),
});

function inside(place: Place, quad: Float64Array): boolean {
  const x = (quad[0] + quad[2] + quad[4] + quad[6]) / 4;
  const y = (quad[1] + quad[3] + quad[5] + quad[7]) / 4;
  return Math.hypot(x - place.x, y - place.y) < place.reach;
}

/** Large enough and not too narrow to be a tag. */
function plausible(quad: Float64Array): boolean {
  const area = quadArea(quad);
  if (!(Math.abs(area) > (tagCells * leastCellPx) ** 2)) return false;
  let longest = 0;
  for (let k = 0; k < 4; k++) {
    const m = (k + 1) % 4;
    longest = Math.max(
      longest,
      Math.hypot(quad[2 * m] - quad[2 * k], quad[2 * m + 1] - quad[2 * k + 1]),
    );
  }
  return Math.abs(area) > leastAreaShare * longest * longest;
}

/** Corners listed from another start: corner k of the result is corner k + turns. */
const turned = (quad: ArrayLike<number>, turns: number): Float64Array =>
  Float64Array.from({ length: 8 }, (_, i) => quad[(i + 2 * turns) % 8]);
