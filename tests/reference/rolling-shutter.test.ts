import { execFileSync } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { expect, test } from "vitest";
import { adjust } from "../../src/adjust/adjust.ts";
import { motionSize } from "../../src/adjust/problem/motion.ts";
import type { NetworkProblem, Quantity } from "../../src/adjust/problem/problem.ts";
import { invert, transform } from "../../src/maths/pose.ts";

interface Case {
  readonly lens: {
    readonly fx: number;
    readonly fy: number;
    readonly cx: number;
    readonly cy: number;
  };
  readonly height: number;
  readonly cellMm: number;
  readonly sigmaPx: number;
  readonly turnSd: number;
  readonly shiftSdMm: number;
  readonly grid: readonly number[];
  readonly trueTurns: readonly (readonly number[])[];
  readonly seen: readonly {
    readonly photo: number;
    readonly board: number;
    readonly pixels: readonly number[];
  }[];
  readonly answer: {
    readonly cost: number;
    readonly turns: readonly (readonly number[])[];
    readonly turnSds: readonly (readonly number[])[];
    readonly places: readonly (readonly number[])[];
    readonly placeSds: readonly (readonly number[])[];
  };
}

const solvedByScipy = (): Case => {
  const folder = mkdtempSync(join(tmpdir(), "rolling-"));
  try {
    const file = join(folder, "case.json");
    execFileSync("/usr/bin/python3", [join(import.meta.dirname, "rolling_shutter.py"), file]);
    return JSON.parse(readFileSync(file, "utf8"));
  } finally {
    rmSync(folder, { recursive: true });
  }
};

const problemOf = (given: Case): NetworkProblem => ({
  cameras: [
    {
      key: "phone",
      lens: { ...given.lens, k1: 0, k2: 0, p1: 0, p2: 0, k3: 0 },
      priorCovariance: null,
      free: new Array(9).fill(false),
      focalSd: 0,
      shiftSdPx: 0,
      motion: { turnSd: given.turnSd, shiftSdMm: given.shiftSdMm, swaySd: 0 },
    },
  ],
  photos: given.trueTurns.map((_, i) => ({
    key: `p${i}`,
    camera: "phone",
    readout: { along: "rows" as const, length: given.height },
  })),
  boards: [0, ...given.answer.places.map((_, i) => i + 1)].map((b) => ({
    key: `${b}`,
    cellMm: given.cellMm,
    cellSd: 0,
    print: null,
    bendSd: 0,
  })),
  prints: [],
  observations: given.seen.map(({ photo, board, pixels }) => ({
    photo: `p${photo}`,
    board: `${board}`,
    boardPoints: Float64Array.from(given.grid),
    pixels: Float64Array.from(pixels),
    noise: { kind: "isotropic", sigmaPx: given.sigmaPx },
  })),
  lengths: [],
  floor: [],
  frames: [],
  scalars: [],
  chains: [],
});

test("a rolling-shutter bundle adjustment of SciPy gives the same places, turns and spreads", () => {
  const given = solvedByScipy();
  const { answer } = given;
  const adjusted = adjust(problemOf(given), { robust: false });
  if (!adjusted.ok) throw new Error(adjusted.remarks.map((r) => r.message).join(" "));
  expect(given.seen.length).toBeGreaterThan(25);
  const { sigma0Squared, redundancy, internals } = adjusted;
  expect(Math.abs(sigma0Squared * redundancy - answer.cost)).toBeLessThan(1e-3 * answer.cost);
  const quantities = answer.places.flatMap((_, b) =>
    ([0, 1, 2] as const).map(
      (k): Quantity => ({
        key: `${b + 1} ${k}`,
        evaluate: (s) => transform(invert(s.pose("0")), s.pose(`${b + 1}`).t)[k],
      }),
    ),
  );
  const { values, covariance } = adjusted.propagate(quantities);
  const places = answer.places.flat();
  const placeSds = answer.placeSds.flat();
  expect(places.length).toBe(18);
  places.forEach((place, i) => {
    // In the frame of the first board nothing depends on which board is held.
    expect(Math.abs(values[i] - place)).toBeLessThan(0.02 * placeSds[i]);
    expect(
      Math.abs(Math.sqrt(covariance[i * (quantities.length + 1)]) / placeSds[i] - 1),
    ).toBeLessThan(0.01);
  });
  answer.turns.forEach((turn, p) => {
    turn.forEach((w, k) => {
      const ours = internals.state.photoMotion[motionSize * p + k];
      expect(Math.abs(ours - w)).toBeLessThan(0.02 * answer.turnSds[p][k]);
    });
  });
  // The turns are measured, not guessed: far surer than the prior, and the truth within reach.
  const scores = answer.turns.flatMap((turn, p) =>
    turn.map((w, k) => (w - given.trueTurns[p][k]) / answer.turnSds[p][k]),
  );
  expect(Math.sqrt(scores.reduce((s, z) => s + z * z, 0) / scores.length)).toBeLessThan(1.4);
  const sds = answer.turnSds.flat();
  expect(sds.reduce((s, v) => s + v, 0) / sds.length).toBeLessThan(0.5 * given.turnSd);
});
