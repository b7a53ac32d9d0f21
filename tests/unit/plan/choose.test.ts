import { describe, expect, test } from "vitest";
import { choosePhotos, isEnough, sdsWith, standAfter } from "../../../src/plan/choice/choose.ts";
import { weakPlaces } from "../../../src/plan/choice/hold.ts";
import { addPhoto, covarianceOf } from "../../../src/plan/choice/network.ts";
import { candidatesOf, demandOf } from "../../../src/plan/demand.ts";
import { planTask } from "../../../src/plan/task.ts";
import { randomBay } from "../../tools/plan/random-bay.ts";

const prepared = (seed: number) => {
  const { job, camera, rough } = randomBay(seed);
  const made = planTask({ job, camera, outcomes: [], rough });
  if (!made.ok) throw new Error("a random bay can be planned");
  const { task } = made;
  const { choices } = candidatesOf(task, { spacingMm: 1300 });
  return { task, choices };
};

/** The fewest of the choices that are enough, by trying all sets of growing size. */
const fewestOf = (
  { task, choices }: ReturnType<typeof prepared>,
  demand: Parameters<typeof isEnough>[0],
  most: number,
): number | null => {
  const tryFrom = (from: number, left: number, taken: number[]): boolean => {
    if (left === 0) {
      const photos = taken.map((i) => choices[i]);
      // The cheap demands first: most sets fail them.
      if (weakPlaces(photos) > demand.weak) return false;
      return isEnough(demand, standAfter(task.network, demand, photos));
    }
    for (let i = from; i <= choices.length - left; i++)
      if (tryFrom(i + 1, left - 1, [...taken, i])) return true;
    return false;
  };
  for (let size = demand.fewest; size <= most; size++) if (tryFrom(0, size, [])) return size;
  return null;
};

describe("choosing photos", () => {
  test.each([1, 2, 3])("bay %i: at most one photo more than the best of all sets", (seed) => {
    const whole = prepared(seed);
    // Every so-and-so-many of them: few enough to try all sets.
    const { order } = choosePhotos(
      whole.task.network,
      demandOf(whole.task, whole.choices, [], 2).demand,
      whole.choices,
    );
    const kept = new Set([...order, ...whole.choices.keys()].slice(0, order.length + 9));
    const few = { task: whole.task, choices: [...kept].map((i) => whole.choices[i]) };
    const { demand } = demandOf(few.task, few.choices, [], 2);
    const chosen = choosePhotos(few.task.network, demand, few.choices);
    const best = fewestOf(few, chosen.reached, chosen.order.length);
    expect(best).not.toBeNull();
    expect(chosen.order.length - best!).toBeLessThanOrEqual(1);
  });

  test("what a photo would bring is what it brings", () => {
    const { task, choices } = prepared(4);
    const { demand } = demandOf(task, choices, [], 2);
    const standing = standAfter(task.network, demand, choices.slice(0, 3));
    const foretold = sdsWith(task.network, standing, choices[5].information);
    const h = standing.h.slice();
    addPhoto(task.network, h, choices[5].information);
    const c = covarianceOf(task.network, h)!;
    const n = task.network.layout.size;
    demand.aims.forEach(({ row }, q) => {
      let variance = 0;
      for (let i = 0; i < n; i++)
        for (let k = 0; k < n; k++) variance += row[i] * row[k] * c[i * n + k];
      expect(foretold[q] / Math.sqrt(variance)).toBeCloseTo(1, 4);
    });
  });
});

describe("weak places", () => {
  test("a single board or photo between two halves is one, two are none", () => {
    const left = ["1", "3", "11"];
    const right = ["2", "4", "12"];
    const halves = [{ boards: left }, { boards: left }, { boards: right }, { boards: right }];
    expect(weakPlaces([])).toBe(0);
    expect(weakPlaces(halves)).toBeGreaterThan(0);
    expect(weakPlaces([...halves, { boards: ["1", "2"] }])).toBeGreaterThan(0);
    const across = [{ boards: ["1", "3", "2", "4"] }, { boards: ["1", "11", "2", "12"] }];
    expect(weakPlaces([...halves, ...across])).toBe(0);
  });
});
