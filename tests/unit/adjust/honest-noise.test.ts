import { expect, test } from "vitest";
import { adjust } from "../../../src/adjust/adjust.ts";
import { withHonestNoise } from "../../../src/adjust/test/honest-noise.ts";
import { makeBay, prune } from "./bay.ts";

const { problem } = prune(makeBay({ seed: 21, photos: 8, boards: 6 }));

test("photos that fit as stated are left as they are", () => {
  const adjusted = adjust(problem);
  if (!adjusted.ok) throw new Error("this bay has a solution");
  const honest = withHonestNoise(problem, adjusted);
  expect(honest.ok && honest.adjusted).toBe(adjusted);
});

// With a noise without bounds the photos place nothing any more: there is no answer then, and
// least of all the first one with its small uncertainty.
test("noise that leaves nothing determined ends in a refusal, not in the narrow intervals", () => {
  const adjusted = adjust(problem);
  if (!adjusted.ok) throw new Error("this bay has a solution");
  const honest = withHonestNoise(problem, { ...adjusted, sigma0Squared: Number.POSITIVE_INFINITY });
  expect(honest.ok).toBe(false);
});
