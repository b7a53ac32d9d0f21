import { expect, test } from "vitest";
import { adjust } from "../../../src/adjust/adjust.ts";
import { settleSpreads } from "../../../src/adjust/spreads/settle.ts";
import { makeBay, prune } from "./bay.ts";

const { problem } = prune(makeBay({ seed: 4, photos: 8, boards: 6, grid: 4, sigmaPx: 0.03 }));

const first = () => {
  const adjusted = adjust(problem);
  if (!adjusted.ok) throw new Error("this bay has a solution");
  return adjusted;
};

test("photos that fit as stated keep their noise and say nothing", () => {
  const settled = settleSpreads(problem, first());
  if (!settled.ok) throw new Error("this bay has a solution");
  expect(settled.spreads.noise).toEqual({ scale: 1, fieldPx: 0 });
  expect(settled.remarks).toEqual([]);
});

// Where the photos' noise turns out so wide that they place nothing any more there is no answer, and
// least of all the first one with its small uncertainty.
test("noise that leaves nothing determined ends in a refusal, not in the narrow intervals", () => {
  const nothing = {
    ...problem,
    observations: problem.observations.map((seen) => ({
      ...seen,
      noise: { kind: "isotropic" as const, sigmaPx: 1e200 },
    })),
  };
  const settled = settleSpreads(nothing, { ...first(), sigma0Squared: Number.POSITIVE_INFINITY });
  expect(settled.ok).toBe(false);
  expect(settled.ok ? "" : settled.reason).toBe("not determined");
});
