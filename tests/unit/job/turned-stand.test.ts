import { expect, test } from "vitest";
import { type Adjusted, adjust } from "../../../src/adjust/adjust.ts";
import { copyState } from "../../../src/adjust/problem/state.ts";
import { diagnose } from "../../../src/adjust/test/diagnosis.ts";
import { turnedStandBoards } from "../../../src/job/solve/turned-stand.ts";
import { unsteady } from "../../../src/job/solve/unsteady.ts";
import { expRotation, matMul } from "../../../src/maths/pose.ts";
import { sampleJob } from "../../tools/simulated-job.ts";
import { makeBay, prune } from "../adjust/bay.ts";

const stand = "31";
/** A bay in which one board carries the number of a stand board. */
const { problem } = prune(makeBay({ seed: 4, photos: 8, boards: 6, sigmaPx: 0.1 }));
const numbered = (key: string): string => (key === problem.boards[0].key ? stand : key);
const outcome = adjust({
  ...problem,
  lengths: [],
  floor: [],
  boards: problem.boards.map((board) => ({ ...board, key: numbered(board.key) })),
  observations: problem.observations.map((o) => ({ ...o, board: numbered(o.board) })),
});
if (!outcome.ok) throw new Error(outcome.reason);

/** The bay as if the stand's other boards had outvoted this one, which stands turned by `deg`. */
const outvoted = (adjusted: Adjusted, deg: number): Adjusted => {
  const { internals } = adjusted;
  const state = copyState(internals.state);
  const pose = state.boardPose[0];
  const turn = expRotation([0, 0, (-deg * Math.PI) / 180]);
  state.boardPose[0] = { ...pose, R: matMul(pose.R, turn) };
  const weights = internals.weights.map((weight, i) =>
    internals.model.views[i]?.board === 0 ? 0.001 : weight,
  );
  return { ...adjusted, internals: { ...internals, state, weights } };
};

test("a stand board the other way up than taught is named with its turn", () => {
  const [half] = turnedStandBoards(sampleJob(), outvoted(outcome, 180));
  expect(half.code).toBe("stand-board-turned");
  expect(half.values?.board).toBe(stand);
  expect(Math.abs(Number(half.values?.turn) - 180)).toBeLessThan(10);
  const [quarter] = turnedStandBoards(sampleJob(), outvoted(outcome, 90));
  expect(Math.abs(Number(quarter.values?.turn) - 90)).toBeLessThan(10);
});

test("a board that sits turned is not told again as odd in the last photo that shows it", () => {
  const told = (deg: number): string[] =>
    unsteady(sampleJob(), diagnose(outcome), outvoted(outcome, deg)).map(({ code }) => code);
  expect(told(180)).toEqual(["stand-board-turned"]);
  expect(told(5)).toEqual(["last-view-odd"]);
});

test("a stand board that was touched, or that fits, is not called turned", () => {
  expect(turnedStandBoards(sampleJob(), outvoted(outcome, 5))).toEqual([]);
  expect(turnedStandBoards(sampleJob(), outcome)).toEqual([]);
});
