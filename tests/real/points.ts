/**
 * Points instead of boards: "this point is seen here" as a statement of the adjustment, for real data
 * that come as points. Photos, lens and solver are the product's; a point is a scalar block of three
 * coordinates, mm.
 */
import { type SmallFactor, smallFactor } from "../../src/adjust/factors/factor.ts";
import type { Layout } from "../../src/adjust/problem/layout.ts";
import { lineTimes, motionSize } from "../../src/adjust/problem/motion.ts";
import { changeOf, lensOf, moveState, type State } from "../../src/adjust/problem/state.ts";
import { project } from "../../src/lens/lens.ts";
import { add, cross, matVec, type Vec3 } from "../../src/maths/pose.ts";

export interface SeenPoint {
  readonly point: string;
  readonly photo: string;
  /** Where it is seen, in the unit of the lens; x right, y down. */
  readonly at: readonly [number, number];
  readonly sd: readonly [number, number];
}

/**
 * Image of a point at a state, read at the line where it is seen (motion during the read-out as in
 * the product's motion.ts); NaN behind the camera.
 */
export function imageOf(
  layout: Layout,
  state: State,
  { photo, point, at }: Pick<SeenPoint, "photo" | "point" | "at">,
): [number, number] {
  const index = layout.photoIndex.get(photo)!;
  const { R, t } = state.photoPose[index];
  const xyz = state.scalars[layout.scalarIndex.get(point)!] as unknown as Vec3;
  const still = add(matVec(R, xyz), t);
  const lens = lensOf(state, 0);
  const change = changeOf(state, index);
  const times = lineTimes(layout.problem.photos[index], { pixels: Float64Array.from(at) });
  if (!times) return project(lens, still, change) ?? behind;
  const motion = state.photoMotion.subarray(motionSize * index);
  const [a, q] = [times.linear[0], times.bent[0]];
  const turn = [0, 1, 2].map((k) => a * motion[k] + q * motion[6 + k]) as unknown as Vec3;
  const shift = [0, 1, 2].map((k) => a * motion[3 + k]) as unknown as Vec3;
  return project(lens, add(add(still, cross(turn, still)), shift), change) ?? behind;
}

const behind: [number, number] = [Number.NaN, Number.NaN];

/** The blocks that a point's image depends on. */
export const blocksOfImage = (layout: Layout, photo: string, point: string): Layout["blocks"] =>
  [
    layout.photoBlock[layout.photoIndex.get(photo)!],
    layout.cameraBlock[0],
    layout.scalarBlock[layout.scalarIndex.get(point)!],
  ].filter(({ size }) => size > 0);

export function pointFactor(layout: Layout, seen: SeenPoint): SmallFactor {
  const { photo, point, at, sd } = seen;
  const blocks = blocksOfImage(layout, photo, point);
  const predict = (state: State) => imageOf(layout, state, seen);
  return smallFactor({
    label: `point ${point} in photo ${photo}`,
    source: "image",
    blocks: blocks.map((block) => layout.blocks.indexOf(block)),
    width: blocks.reduce((sum, { size }) => sum + size, 0),
    rows: 2,
    residuals(state, r, j) {
      const image = predict(state);
      for (let k = 0; k < 2; k++) r[k] = (image[k] - at[k]) / sd[k];
      if (j) slopes(layout, blocks, state, predict, sd, j);
    },
  });
}

/** Central differences in the tangent space of each block; steps in the unit of the unknown. */
export function slopes(
  layout: Layout,
  blocks: readonly Layout["blocks"][number][],
  state: State,
  predict: (state: State) => [number, number],
  sd: readonly [number, number],
  j: Float64Array,
): void {
  const width = blocks.reduce((sum, { size }) => sum + size, 0);
  const delta = new Float64Array(layout.size);
  let at = 0;
  for (const block of blocks) {
    const alone = { ...layout, blocks: [block] };
    for (let k = 0; k < block.size; k++, at++) {
      const h =
        block.kind === "scalars" || (block.kind === "photo" && k >= 3 && k < 6) ? 1e-3 : 1e-6;
      delta[block.offset + k] = h;
      const up = predict(moveState(alone, state, delta));
      delta[block.offset + k] = -h;
      const down = predict(moveState(alone, state, delta));
      delta[block.offset + k] = 0;
      for (let row = 0; row < 2; row++)
        j[row * width + at] = (up[row] - down[row]) / (2 * h) / sd[row];
    }
  }
}
