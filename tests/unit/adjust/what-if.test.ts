import { expect, test } from "vitest";
import { adjust } from "../../../src/adjust/adjust.ts";
import type { Quantity } from "../../../src/adjust/problem/problem.ts";
import {
  boardsInView,
  designState,
  type PlannedPhoto,
  whatIf,
} from "../../../src/adjust/propagate/what-if.ts";
import { norm, sub } from "../../../src/maths/pose.ts";
import { lookAt, makeBay, prune } from "./bay.ts";

const bay = prune(makeBay({ seed: 31, photos: 7, boards: 8, lengths: 1 }));
const keys = bay.problem.boards.map((b) => b.key);
const quantity: Quantity = {
  key: "far",
  evaluate: (s) => norm(sub(s.pose(keys[0]).t, s.pose(keys[keys.length - 1]).t)),
};

test("an empty plan predicts the covariance of the adjustment", () => {
  const out = adjust(bay.problem);
  expect(out.ok).toBe(true);
  if (!out.ok) return;
  const now = out.propagate([quantity]);
  const same = whatIf(bay.problem, out.internals.state, {}, [quantity]);
  expect(same.ok).toBe(true);
  if (!same.ok) return;
  expect(Math.abs(same.propagated.covariance[0] / now.covariance[0] - 1)).toBeLessThan(1e-6);

  // A photo more makes it surer, and a length along it surer still.
  const middle = out.state.pose(keys[0]).t;
  const cameraFromBay = lookAt([middle[0] + 1500, middle[1] + 900, middle[2] + 1400], middle, 0);
  const state = out.internals.state;
  const limits = { width: 4032, height: 3024, obliquity: 1.2, cellPx: 4 };
  const seen = boardsInView(bay.problem, state, "phone", cameraFromBay, limits);
  const photo: PlannedPhoto = {
    key: "planned",
    camera: "phone",
    cameraFromBay,
    boards: seen.length > 1 ? seen : keys.slice(0, 2),
  };
  const more = whatIf(bay.problem, state, { photos: [photo] }, [quantity]);
  const length = {
    key: "tape",
    from: { board: keys[0] },
    to: { board: keys[keys.length - 1] },
    lengthMm: now.values[0],
    sdMm: 0.2,
  };
  const taped = whatIf(bay.problem, state, { lengths: [length] }, [quantity]);
  expect(more.ok && taped.ok).toBe(true);
  if (!more.ok || !taped.ok) return;
  expect(more.propagated.covariance[0]).toBeLessThan(now.covariance[0]);
  // Two independent pieces of knowledge: 1/u^2 adds up.
  const expected = 1 / (1 / now.covariance[0] + 1 / 0.2 ** 2);
  expect(Math.abs(taped.propagated.covariance[0] / expected - 1)).toBeLessThan(1e-6);
});

test("a design on paper predicts what simulated photos then give", () => {
  const state = designState(bay.problem, bay.truth.board, bay.truth.photo);
  const design = whatIf(bay.problem, state, {}, [quantity]);
  const out = adjust(bay.problem);
  expect(design.ok && out.ok).toBe(true);
  if (!design.ok || !out.ok) return;
  expect(
    Math.abs(
      Math.sqrt(design.propagated.covariance[0] / out.propagate([quantity]).covariance[0]) - 1,
    ),
  ).toBeLessThan(0.05);
});

test("a plan that determines nothing says so", () => {
  const state = designState(bay.problem, bay.truth.board, bay.truth.photo);
  const photo: PlannedPhoto = {
    key: "blind",
    camera: "phone",
    cameraFromBay: state.photoPose[0],
    boards: [],
  };
  const outcome = whatIf(bay.problem, state, { photos: [photo] }, [quantity]);
  expect(outcome.ok).toBe(false);
  if (!outcome.ok) expect(outcome.remark.message).toMatch(/where photo blind was taken/);
});
