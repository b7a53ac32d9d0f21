import { type Pose, retract } from "../../src/maths/pose.ts";
import { type Bay, random } from "../unit/adjust/bay.ts";

/** A bay as JSON for network_model.py, with start values near the truth (SciPy is not asked to find them). */
export const problemAsJson = (bay: Bay, startSpread = 1): string => {
  const r = random(99);
  const near = (pose: Pose): { R: readonly number[]; t: readonly number[] } => {
    const turn = () => r.normal(0.002 * startSpread);
    const shift = () => r.normal(3 * startSpread);
    return retract(pose, [turn(), turn(), turn(), shift(), shift(), shift()]);
  };
  const { problem, truth } = bay;
  return JSON.stringify({
    cameras: problem.cameras.map((c) => ({
      ...c,
      priorCovariance: c.priorCovariance ? [...c.priorCovariance] : null,
    })),
    photos: problem.photos,
    boards: problem.boards,
    prints: problem.prints,
    lengths: problem.lengths,
    floor: problem.floor,
    observations: problem.observations.map((o) => ({
      photo: o.photo,
      board: o.board,
      boardPoints: [...o.boardPoints],
      pixels: [...o.pixels],
      sigmaPx: o.noise.kind === "isotropic" ? o.noise.sigmaPx : Number.NaN,
    })),
    start: {
      photos: Object.fromEntries(problem.photos.map((p) => [p.key, near(truth.photo.get(p.key)!)])),
      boards: Object.fromEntries(problem.boards.map((b) => [b.key, near(truth.board.get(b.key)!)])),
    },
  });
};
