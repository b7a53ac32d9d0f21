import { expect, test } from "vitest";
import { type Adjusted, adjust } from "../../../src/adjust/adjust.ts";
import type { NetworkProblem } from "../../../src/adjust/problem/problem.ts";
import { norm, sub } from "../../../src/maths/pose.ts";
import { makeBay, prune } from "./bay.ts";

const sigmaPx = 0.01;
const bay = prune(makeBay({ seed: 7, photos: 10, boards: 9, grid: 4, sigmaPx, floor: true }));

/** A ripple about the middle of the frame, px, that no Brown lens follows. */
const ripple = (x: number, y: number): readonly [number, number] => {
  const [u, v] = [x - 2016, y - 1512];
  const r = Math.hypot(u, v) + 1e-9;
  const size = 0.1 * Math.sin((2 * Math.PI * r) / 1200);
  return [(size * u) / r, (size * v) / r];
};

/** The bay as a lens with `amount` times the ripple shows it; with or without the mode. */
const seenThrough = (amount: number, known: boolean): NetworkProblem => ({
  ...bay.problem,
  cameras: bay.problem.cameras.map((camera) => (known ? { ...camera, modes: 1 } : camera)),
  observations: bay.problem.observations.map((seen) => {
    const modes = new Float64Array(seen.pixels.length);
    for (let i = 0; i < modes.length; i += 2)
      modes.set(ripple(seen.pixels[i], seen.pixels[i + 1]), i);
    const pixels = seen.pixels.map((p, i) => p + amount * modes[i]);
    return { ...seen, pixels, ...(known && { modes }) };
  }),
});

const solved = (problem: NetworkProblem): Adjusted => {
  const out = adjust(problem, { robust: false });
  if (!out.ok) throw new Error(out.remarks.map(({ message }) => message).join(" "));
  return out;
};

const worstDistance = ({ state }: Adjusted): number => {
  const [first, ...others] = bay.problem.boards.map(({ key }) => key);
  const truth = (key: string) => bay.truth.board.get(key)!.t;
  return Math.max(
    ...others.map((key) =>
      Math.abs(
        norm(sub(state.pose(key).t, state.pose(first).t)) - norm(sub(truth(key), truth(first))),
      ),
    ),
  );
};

test("a displacement that all photos share is found, and takes its error out of the places", () => {
  const known = solved(seenThrough(1.5, true));
  const [amplitude] = known.internals.state.lensModes[0];
  expect(Math.abs(amplitude - 1.5)).toBeLessThan(0.1);
  expect(known.sigma0Squared).toBeLessThan(1.2);
  const ignored = solved(seenThrough(1.5, false));
  expect(ignored.sigma0Squared).toBeGreaterThan(2);
  expect(worstDistance(known)).toBeLessThan(0.5 * worstDistance(ignored));
});

test("a mode that is not there stays near zero and moves nothing by much", () => {
  const known = solved(seenThrough(0, true));
  const plain = solved(seenThrough(0, false));
  expect(Math.abs(known.internals.state.lensModes[0][0])).toBeLessThan(0.1);
  expect(Math.abs(worstDistance(known) - worstDistance(plain))).toBeLessThan(0.1);
});
