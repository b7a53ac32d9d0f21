import { loadOpenCV } from "@opencvjs/web";
import { expect, it } from "vitest";
import { adjust } from "../../src/adjust/adjust.ts";
import type { BoardObservation, NetworkProblem } from "../../src/adjust/problem/problem.ts";
import { findBoards } from "../../src/detect/find-boards.ts";
import { boardTagFinder } from "../../src/detect/tags/opencv-tag-finder.ts";
import { project } from "../../src/lens/lens.ts";
import { compose, norm, type Pose, sub, type Vec3 } from "../../src/maths/pose.ts";
import { renderScene } from "../tools/render-board.ts";
import { type Bay, makeBay, prune, trueRelative } from "../unit/adjust/bay.ts";

/** Sagittas of the boards, mm over their width: as paper does that is taped at its corners only. */
const sagittasMm = [1.2, -0.9, 1.5, -1.1, 0.7];
const cellMm = 13;
const widthMm = 14 * cellMm;

const bay = prune(
  makeBay({ seed: 5, photos: 6, boards: 5, noise: false, focalSd: 0.001, shiftSdPx: 2 }),
);

const finder = loadOpenCV().then((cv) => boardTagFinder(cv as never));

/** What detection makes of one board in one photo, rendered alone in a part of the photo. */
async function seen({ photo, board }: BoardObservation): Promise<BoardObservation | null> {
  const { truth } = bay;
  const inMm = compose(truth.photo.get(photo) as Pose, truth.board.get(board) as Pose);
  const [x, y, z] = inMm.t;
  const pose: Pose = { R: inMm.R, t: [x / cellMm, y / cellMm, z / cellMm] };
  const corners = [-8, 8].flatMap((u) =>
    [-8, 8].map((v): readonly [number, number] => {
      const R = pose.R;
      const at = [0, 3, 6].map((k, i) => R[k] * u + R[k + 1] * v + pose.t[i]);
      return project(truth.lens, at as unknown as Vec3) ?? [Number.NaN, Number.NaN];
    }),
  );
  const left = Math.floor(Math.min(...corners.map(([px]) => px))) - 6;
  const top = Math.floor(Math.min(...corners.map(([, py]) => py))) - 6;
  const width = Math.ceil(Math.max(...corners.map(([px]) => px))) - left + 6;
  const height = Math.ceil(Math.max(...corners.map(([, py]) => py))) - top + 6;
  const lens = { ...truth.lens, cx: truth.lens.cx - left, cy: truth.lens.cy - top };
  const bend = (8 * sagittasMm[Number(board)] * cellMm) / widthMm ** 2;
  const image = renderScene({
    width,
    height,
    lens,
    prints: [{ id: 7, cameraFromBoard: pose, bend }],
    blurPx: 0.9,
    tone: "sRGB",
    noise: 2,
    seed: 100 * Number(photo.slice(1)) + Number(board),
  });
  const [view] = findBoards(image, await finder, { what: "boards", lens }).boards;
  if (!view) return null;
  const pixels = view.pixels.map((p, i) => p + (i % 2 === 0 ? left : top));
  return { photo, board, boardPoints: view.boardPoints, pixels, noise: view.noise };
}

const pairsOf = ({ boards }: NetworkProblem) =>
  boards.flatMap((a, i) => boards.slice(0, i).map((b) => [a.key, b.key] as const));

const distance = (of: Bay, a: string, b: string) => norm(trueRelative(of, a, b).t);

it("bent boards, from grey pixels to distances: as exact as stated, to a tenth of a millimetre", async () => {
  const observations: BoardObservation[] = [];
  for (const observation of bay.problem.observations) {
    const found = await seen(observation);
    if (found) observations.push(found);
  }
  expect(observations.length).toBe(bay.problem.observations.length);
  const [first, second] = bay.problem.boards.map(({ key }) => key);
  const outcome = adjust({
    ...bay.problem,
    // A sagitta with a standard deviation of 1 mm.
    boards: bay.problem.boards.map((board) => ({ ...board, bendSd: 8 / widthMm ** 2 })),
    observations,
    lengths: [
      {
        key: "bar",
        from: { board: first },
        to: { board: second },
        lengthMm: distance(bay, first, second),
        sdMm: 0.02,
      },
    ],
  });
  if (!outcome.ok) throw new Error(outcome.remarks.map(({ message }) => message).join(" "));
  const pairs = pairsOf(bay.problem);
  expect(pairs.length).toBeGreaterThan(9);
  const { values, covariance } = outcome.propagate(
    pairs.map(([a, b]) => ({
      key: `${a} to ${b}`,
      evaluate: (state) => norm(sub(state.pose(a).t, state.pose(b).t)),
    })),
  );
  let squares = 0;
  pairs.forEach(([a, b], i) => {
    const error = values[i] - distance(bay, a, b);
    const variance = covariance[i * pairs.length + i];
    expect(Math.abs(error), `${a} to ${b}`).toBeLessThan(0.2);
    expect(error * error, `${a} to ${b}`).toBeLessThan(16 * variance);
    squares += error * error;
  });
  // Flat fits of such boards leave about 0.5 mm here.
  expect(Math.sqrt(squares / pairs.length)).toBeLessThan(0.1);
}, 240_000);
