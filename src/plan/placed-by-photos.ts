import { layOut } from "../adjust/problem/layout.ts";
import { readoutOf } from "../adjust/problem/motion.ts";
import type { NetworkProblem } from "../adjust/problem/problem.ts";
import type { State } from "../adjust/problem/state.ts";
import type { BoardView, PhotoFindings, PhotoOutcome } from "../detect/findings/findings.ts";
import { type Lens, unproject } from "../lens/lens.ts";
import { planarPoses } from "../maths/planar-pose.ts";
import { compose, invert, type Pose } from "../maths/pose.ts";
import type { NetworkPhoto } from "./choice/network.ts";

/**
 * Where photos stand in a rough bay, before they can be adjusted together: each hangs on the board
 * that it shows largest among those with a place. Floor boards get their places from such photos.
 * Good enough to plan with, for nothing else.
 */
export const placedByPhotos = (
  problem: NetworkProblem,
  state: State,
  lens: Lens,
  outcomes: readonly PhotoOutcome[],
): { readonly photos: NetworkPhoto[]; readonly floor: ReadonlyMap<string, Pose> } => {
  const layout = layOut(problem);
  const cells = new Map(problem.boards.map(({ key, cellMm }) => [key, cellMm]));
  const usualCell = problem.boards[0]?.cellMm ?? 13;
  const places = new Map(
    problem.boards
      .map(({ key }, i) => [key, state.boardPose[i]] as const)
      .filter(([key]) => !isFloor(key)),
  );
  const rough = new Map(problem.boards.map(({ key }, i) => [key, state.boardPose[i]] as const));
  const floor = new Map<string, Pose>();
  let waiting = outcomes.flatMap((o) => (o.ok && o.findings.boards.length > 0 ? [o.findings] : []));
  const placed = new Map<PhotoFindings, Pose>();
  for (let round = 0; round <= outcomes.length && waiting.length > 0; round++) {
    const before = waiting.length;
    waiting = waiting.filter((findings) => {
      const camera = hangOn(findings, lens, places, cells, usualCell);
      if (!camera) return true;
      placed.set(findings, camera);
      for (const view of usable(findings)) {
        const key = String(view.id);
        const own = poseOf(view, lens, cells.get(key) ?? usualCell);
        if (!own || places.has(key) || !isFloor(key)) continue;
        const pose = onTheFloor(compose(invert(camera), own));
        places.set(key, pose);
        floor.set(key, pose);
      }
      return false;
    });
    // Photos that hang on nothing placed so far: floor boards count as lying where they were planned.
    if (waiting.length === before) {
      const next = waiting.flatMap((f) => usable(f)).find(({ id }) => rough.has(String(id)));
      if (!next) break;
      places.set(String(next.id), rough.get(String(next.id))!);
    }
  }
  const cameraKey = problem.cameras[0]?.key ?? "";
  const photos = [...placed].map(
    ([findings, cameraFromBay]): NetworkPhoto => ({
      statement: { key: findings.name, camera: cameraKey, readout: readoutOf(findings) },
      cameraFromBay,
      observations: usable(findings)
        .filter(({ id }) => layout.boardIndex.has(String(id)))
        .map(({ id, boardPoints, pixels, noise }) => ({
          photo: findings.name,
          board: String(id),
          boardPoints,
          pixels,
          noise,
        })),
    }),
  );
  return { photos: photos.filter(({ observations }) => observations.length > 0), floor };
};

const isFloor = (key: string): boolean => Number(key) >= 11 && Number(key) <= 29;

const usable = ({ boards }: PhotoFindings): BoardView[] =>
  boards.filter(({ quality }) => quality.grade !== "not used");

/** cameraFromBay by the largest board that has a place; null where none has. */
const hangOn = (
  findings: PhotoFindings,
  lens: Lens,
  places: ReadonlyMap<string, Pose>,
  cells: ReadonlyMap<string, number>,
  usualCell: number,
): Pose | null => {
  const known = usable(findings)
    .filter(({ id }) => places.has(String(id)))
    .sort((a, b) => b.quality.cellPx - a.quality.cellPx);
  for (const view of known) {
    const key = String(view.id);
    const own = poseOf(view, lens, cells.get(key) ?? usualCell);
    if (own) return compose(own, invert(places.get(key)!));
  }
  return null;
};

/** cameraFromBoard, the better of the two that a plane allows. */
const poseOf = (view: BoardView, lens: Lens, cellMm: number): Pose | null => {
  const image = new Float64Array(view.pixels.length);
  for (let i = 0; i < image.length; i += 2) {
    const at = unproject(lens, view.pixels[i], view.pixels[i + 1]);
    if (!at) return null;
    image.set(at, i);
  }
  const plane = view.boardPoints.map((value) => value * cellMm);
  return planarPoses(plane, image)[0]?.pose ?? null;
};

/** A floor board lies flat, whatever a small picture of it says. */
const onTheFloor = ({ R, t }: Pose): Pose => {
  const heading = Math.atan2(R[3], R[0]);
  const [c, s] = [Math.cos(heading), Math.sin(heading)];
  return { R: [c, -s, 0, s, c, 0, 0, 0, 1], t: [t[0], t[1], 0] };
};
