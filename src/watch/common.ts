/**
 * What all boards do together: the phone was nudged, its stabiliser drifted, its focus breathed. A
 * small turn of the camera moves every board alike, whatever its distance: one similarity of the
 * whole picture. A shift of the camera moves near boards more than far ones and does not fit it.
 */
import { invertPositive } from "../maths/dense.ts";
import type { BoardReference, ImageMovement } from "./movement.ts";

export interface Seen {
  readonly reference: BoardReference;
  readonly movement: ImageMovement;
  /**
   * The part of the movement's covariance that does not change from one measurement to the next: four
   * variances. It is not made smaller by taking measurements together.
   */
  readonly lasting: Variances;
}

/** Of shift x, shift y, growth and turn. */
export type Variances = readonly [number, number, number, number];

export interface CommonMovement {
  /** Shift of the picture's middle px, growth, turn. */
  readonly values: readonly [number, number, number, number];
  readonly covariance: Float64Array;
  /** The part of `covariance` that lasts, 4 x 4. */
  readonly lasting: Float64Array;
  /** Weighted sum of squared misfits over its degrees of freedom; null with one board. */
  readonly misfit: number | null;
}

/** `middle`: the point about which the picture grows and turns, px. Null without boards. */
export function commonMovement(
  seen: readonly Seen[],
  middle: readonly [number, number],
): CommonMovement | null {
  const normal = new Float64Array(16);
  const right = new Float64Array(4);
  const meat = new Float64Array(16);
  const blocks = seen.map(({ reference, movement, lasting }) => {
    const design = designAt(reference.centre, middle);
    const weight = invertPositive(movement.covariance, 4);
    const values = [movement.dx, movement.dy, movement.growth, movement.turn];
    return { design, weight, values, lasting };
  });
  for (const { design, weight, values, lasting } of blocks) {
    if (!weight) return null;
    const wa = product(weight, design);
    for (let i = 0; i < 4; i++) {
      for (let k = 0; k < 4; k++) {
        right[i] += wa[k * 4 + i] * values[k];
        for (let j = 0; j < 4; j++) {
          normal[i * 4 + j] += design[k * 4 + i] * wa[k * 4 + j];
          meat[i * 4 + j] += wa[k * 4 + i] * lasting[k] * wa[k * 4 + j];
        }
      }
    }
  }
  const covariance = invertPositive(normal, 4);
  if (!covariance) return null;
  const [x, y, growth, turn] = [0, 1, 2, 3].map((i) =>
    right.reduce((sum, value, j) => sum + covariance[i * 4 + j] * value, 0),
  );
  const values = [x, y, growth, turn] as const;
  const sum = blocks.reduce(
    (total, { design, weight, values: own }) => total + square(weight!, rest(design, values, own)),
    0,
  );
  const degrees = 4 * seen.length - 4;
  // The weights are of the whole covariance, so a part of it is carried through the estimate as it is.
  const lasting = product(product(covariance, meat), covariance);
  return { values, covariance, lasting, misfit: degrees > 0 ? sum / degrees : null };
}

/** The board's movement without the common one, with the doubt of both and the part of it that lasts. */
export function ownMovement(
  { reference, movement, lasting: ownLasting }: Seen,
  common: CommonMovement,
  middle: readonly [number, number],
): { readonly movement: ImageMovement; readonly lasting: Variances } {
  const design = designAt(reference.centre, middle);
  const own = [movement.dx, movement.dy, movement.growth, movement.turn];
  const [dx, dy, growth, turn] = rest(design, common.values, own);
  const spread = carried(design, common.covariance);
  const covariance = movement.covariance.map((value, at) => value + spread[at]);
  const part = carried(design, common.lasting);
  const [a, b, c, d] = ownLasting.map((value, i) => value + part[5 * i]);
  return { movement: { dx, dy, growth, turn, covariance }, lasting: [a, b, c, d] };
}

/** A C A', 4 x 4. */
function carried(a: Float64Array, covariance: Float64Array): Float64Array {
  const half = product(a, covariance);
  return half.map((_, at) => {
    const [i, j] = [at >> 2, at & 3];
    let sum = 0;
    for (let k = 0; k < 4; k++) sum += half[i * 4 + k] * a[j * 4 + k];
    return sum;
  });
}

function designAt(
  [x, y]: readonly [number, number],
  [mx, my]: readonly [number, number],
): Float64Array {
  const [u, v] = [x - mx, y - my];
  return Float64Array.from([1, 0, u, -v, 0, 1, v, u, 0, 0, 1, 0, 0, 0, 0, 1]);
}

const rest = (design: Float64Array, common: readonly number[], own: readonly number[]) =>
  own.map((value, i) => common.reduce((sum, c, j) => sum - design[i * 4 + j] * c, value));

function product(a: Float64Array, b: Float64Array): Float64Array {
  const c = new Float64Array(16);
  for (let i = 0; i < 4; i++) {
    for (let k = 0; k < 4; k++) {
      for (let j = 0; j < 4; j++) c[i * 4 + j] += a[i * 4 + k] * b[k * 4 + j];
    }
  }
  return c;
}

function square(weight: Float64Array, values: readonly number[]): number {
  let sum = 0;
  for (let i = 0; i < 4; i++) {
    for (let j = 0; j < 4; j++) sum += values[i] * weight[i * 4 + j] * values[j];
  }
  return sum;
}
