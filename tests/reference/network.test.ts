import { execFileSync } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { expect, test } from "vitest";
import { adjust } from "../../src/adjust/adjust.ts";
import type { Quantity } from "../../src/adjust/problem/problem.ts";
import { lensOrder } from "../../src/lens/lens.ts";
import { compose, invert, logRotation } from "../../src/maths/pose.ts";
import { type Bay, makeBay, prune } from "../unit/adjust/bay.ts";
import { problemAsJson } from "./network-problem.ts";

const bays: [string, Bay][] = [
  ["plain", prune(makeBay({ seed: 21, photos: 8, boards: 8, lengths: 2 }))],
  [
    "floor, prints, own cell sizes",
    prune(
      makeBay({
        seed: 22,
        photos: 12,
        boards: 9,
        floor: true,
        lengths: 3,
        cellSd: 5e-4,
        printSd: 1e-3,
      }),
    ),
  ],
  [
    "bent boards",
    prune(makeBay({ seed: 23, photos: 14, boards: 10, bendSd: 2e-5, cellSd: 5e-4, lengths: 1 })),
  ],
];

interface Reference {
  readonly cost: number;
  readonly values: number[];
  readonly covariance: number[][];
}

const solveWithScipy = (bay: Bay): Reference => {
  const folder = mkdtempSync(join(tmpdir(), "network-"));
  try {
    writeFileSync(join(folder, "problem.json"), problemAsJson(bay));
    execFileSync("/usr/bin/python3", [
      join(import.meta.dirname, "network_model.py"),
      "compare",
      join(folder, "problem.json"),
      join(folder, "answer.json"),
    ]);
    return JSON.parse(readFileSync(join(folder, "answer.json"), "utf8"));
  } finally {
    rmSync(folder, { recursive: true });
  }
};

/** The same functions of the unknowns as Model.quantities in network_model.py. */
const quantitiesOf = (bay: Bay): Quantity[] => {
  const [first, ...others] = bay.problem.boards.map((b) => b.key);
  const relative = (key: string, k: number): Quantity => ({
    key: `${key} ${k}`,
    evaluate: (s) => {
      const pose = compose(invert(s.pose(first)), s.pose(key));
      return [...pose.t, ...logRotation(pose.R)][k];
    },
  });
  return [
    ...others.flatMap((key) => [0, 1, 2, 3, 4, 5].map((k) => relative(key, k))),
    ...lensOrder.map((name): Quantity => ({ key: name, evaluate: (s) => s.lens("phone")[name] })),
  ];
};

for (const [name, bay] of bays)
  test(`SciPy's least_squares on an independent model agrees: ${name}`, {
    timeout: 120_000,
  }, () => {
    const reference = solveWithScipy(bay);
    const adjusted = adjust(bay.problem);
    expect(adjusted.ok).toBe(true);
    if (!adjusted.ok) return;
    expect(adjusted.downWeighted.length).toBe(0);
    const quantities = quantitiesOf(bay);
    const { values, covariance } = adjusted.propagate(quantities);
    const m = quantities.length;
    expect(m).toBeGreaterThan(40);
    let checked = 0;
    for (let i = 0; i < m; i++) {
      // Relative to the value; positions and turns near zero relative to 1 mm and 0.1 rad.
      const least = i >= m - lensOrder.length ? 0 : i % 6 < 3 ? 1 : 0.1;
      const scale = Math.max(Math.abs(reference.values[i]), least);
      expect(Math.abs(values[i] - reference.values[i]) / scale, quantities[i].key).toBeLessThan(
        1e-6,
      );
      for (let k = 0; k <= i; k++) {
        const sds = Math.sqrt(reference.covariance[i][i] * reference.covariance[k][k]);
        const error = Math.abs(covariance[i * m + k] - reference.covariance[i][k]) / sds;
        expect(error, `${quantities[i].key}, ${quantities[k].key}`).toBeLessThan(1e-4);
        checked++;
      }
    }
    expect(checked).toBe((m * (m + 1)) / 2);
    // Photo changes and cell sizes follow in the reference's list.
    bay.problem.photos.slice(0, 3).forEach((photo, i) => {
      const own = adjusted.photoChange(photo.key).focal;
      expect(Math.abs(own - reference.values[m + i])).toBeLessThan(1e-8);
    });
    bay.problem.boards.slice(0, 2).forEach((board, i) => {
      const cell = adjusted.state.cellMm(board.key);
      expect(Math.abs(cell / reference.values[m + 3 + i] - 1)).toBeLessThan(1e-6);
    });
    const cost = adjusted.sigma0Squared * adjusted.redundancy;
    expect(Math.abs(cost / reference.cost - 1)).toBeLessThan(1e-8);
  });
