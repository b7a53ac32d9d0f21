import { absoluteOrientation } from "../../maths/absolute-orientation.ts";
import { upperMedian } from "../../maths/median.ts";
import {
  logRotation,
  matMul,
  norm,
  type Pose,
  sub,
  transform,
  transpose,
} from "../../maths/pose.ts";
import { chiSquareQuantile } from "../../maths/statistics.ts";
import type { MeasuredRound } from "../measure/measure-round.ts";
import type { AcceptanceRemark } from "../result/codes.ts";

/** A standard deviation from so many degrees of freedom, with its 95 % interval. */
export interface Spread {
  readonly sd: number;
  readonly lower: number;
  readonly upper: number;
  readonly degreesOfFreedom: number;
}

/** Interval of a standard deviation of normal deviates: chi-squared (ISO 5725-2, from memory). */
export const spreadOf = (variance: number, degreesOfFreedom: number): Spread => ({
  sd: Math.sqrt(variance),
  lower: Math.sqrt((variance * degreesOfFreedom) / chiSquareQuantile(0.975, degreesOfFreedom)),
  upper: Math.sqrt((variance * degreesOfFreedom) / chiSquareQuantile(0.025, degreesOfFreedom)),
  degreesOfFreedom,
});

export interface PoseScatter {
  /** Of a board's centre and of its turn about any axis between two rounds, over sqrt 2; rms. */
  readonly positionMm: number;
  readonly turnDeg: number;
  readonly largestPositionMm: number;
  readonly largestTurnDeg: number;
}

export interface Repeatability extends Spread {
  /** What a job states for the same: photos, focus and hand; rms over the lengths, mm. */
  readonly statedMm: number;
  readonly pose: PoseScatter;
}

export interface Reproducibility extends Spread {
  /** Part between phones and persons, mm. */
  readonly betweenMm: number;
  readonly groups: number;
}

/** Rounds of one phone and one person. */
export type Grouped = readonly (readonly MeasuredRound[])[];

/** A board that shifted so much between two rounds, beside the others' median, was touched. */
const touched = { mm: 1, timesMedian: 8 } as const;

interface BoardShift {
  readonly board: string;
  readonly shiftMm: number;
}

interface WithinBetween {
  readonly within: number | null;
  readonly withinFreedom: number;
  /** Mean square of the groups' means, null for one group. */
  readonly between: number | null;
  /** Share of the repeatability variance in a group's mean. */
  readonly perGroup: number;
}

/** Places of the lengths that every round saw. */
const common = (groups: Grouped): number[] => {
  const all = groups.flat();
  return (all[0]?.lengthsMm ?? []).flatMap((_, i) =>
    all.every(({ lengthsMm }) => lengthsMm[i] !== null) ? [i] : [],
  );
};

/**
 * Lengths between B boards in space tell at most 3 B - 6 independent numbers, however many they are:
 * so many count towards the degrees of freedom.
 */
const independent = (lengths: number, boards: number): number =>
  Math.max(1, Math.min(lengths, 3 * boards - 6));

/** One-way analysis of variance over the groups, pooled over the lengths (ISO 5725-2, from memory). */
const analyse = (groups: Grouped, lengths: readonly number[], effective: number): WithinBetween => {
  let squares = 0;
  let between = 0;
  const rounds = groups.flat().length;
  for (const i of lengths) {
    const means = groups.map((group) => mean(group.map(({ lengthsMm }) => lengthsMm[i]!)));
    groups.forEach((group, g) => {
      for (const { lengthsMm } of group) squares += (lengthsMm[i]! - means[g]) ** 2;
    });
    const over = mean(means);
    for (const value of means) between += (value - over) ** 2;
  }
  const repeats = rounds - groups.length;
  return {
    within: repeats > 0 ? squares / (repeats * lengths.length) : null,
    withinFreedom: repeats * effective,
    between: groups.length > 1 ? between / ((groups.length - 1) * lengths.length) : null,
    perGroup: mean(groups.map((group) => 1 / group.length)),
  };
};

const mean = (values: readonly number[]): number =>
  values.reduce((sum, value) => sum + value, 0) / values.length;
const rms = (values: readonly number[]): number => Math.sqrt(mean(values.map((v) => v * v)));

export interface Scatter {
  readonly repeatability: Repeatability | null;
  readonly reproducibility: Reproducibility | null;
  readonly remarks: readonly AcceptanceRemark[];
}

/** Chance of blaming an innocent scatter: 1 in 1000. */
const blame = 0.999;

/**
 * Repeatability: rounds of one phone and person about their mean. Reproducibility: that and what lies
 * between phones and persons. With two or three groups the latter's interval is wide, as it has to be.
 */
export const scatterOf = (groups: Grouped, boardsInLengths: number): Scatter => {
  const lengths = common(groups);
  if (lengths.length === 0) return { repeatability: null, reproducibility: null, remarks: [] };
  const effective = independent(lengths.length, boardsInLengths);
  const parts = analyse(groups, lengths, effective);
  const stated = rms(
    groups.flat().flatMap(({ ownVariances }) => lengths.map((i) => Math.sqrt(ownVariances[i]!))),
  );
  const repeatability: Repeatability | null =
    parts.within === null
      ? null
      : {
          ...spreadOf(parts.within, parts.withinFreedom),
          statedMm: stated,
          pose: poseScatter(groups),
        };
  const moved = movedBoards(groups);
  const scattered = repeatability && moved.length === 0 && isWider(repeatability, stated);
  const remarks = [...moved, ...(scattered ? [wider(repeatability, stated)] : [])];
  return { repeatability, reproducibility: reproducibilityOf(parts, groups.length), remarks };
};

const isWider = ({ sd, degreesOfFreedom }: Spread, stated: number): boolean =>
  sd ** 2 * degreesOfFreedom > stated ** 2 * chiSquareQuantile(blame, degreesOfFreedom);

const wider = ({ sd }: Spread, stated: number): AcceptanceRemark => ({
  code: "accept-scatter",
  values: { sd, stated },
  severity: "warning",
  message:
    `The rounds differ more than a job would state: standard deviation ${sd.toFixed(2)} mm, ` +
    `stated ${stated.toFixed(2)} mm.`,
  remedy: "Look whether a board was touched between the rounds, and whether all lie flat and firm.",
});

const reproducibilityOf = (
  { within, withinFreedom, between, perGroup }: WithinBetween,
  groups: number,
): Reproducibility | null => {
  if (between === null) return null;
  const repeat = within ?? 0;
  const added = Math.max(0, between - repeat * perGroup);
  const variance = added + repeat;
  // Welch and Satterthwaite; lengths of one group share its phone, so that a group counts once.
  const share = repeat - repeat * perGroup;
  const spread = between ** 2 / (groups - 1) + (withinFreedom > 0 ? share ** 2 / withinFreedom : 0);
  const freedom = spread > 0 ? Math.max(groups - 1, variance ** 2 / spread) : groups - 1;
  return { ...spreadOf(variance, freedom), betweenMm: Math.sqrt(added), groups };
};

/** Shift of every board between the first and each later round, the rounds laid on each other. */
interface Compared {
  readonly shifts: readonly BoardShift[];
  readonly turnsDeg: readonly number[];
}

/** The frames of two rounds are laid on each other by the centres of all boards but `without`. */
const compare = (
  first: MeasuredRound,
  later: MeasuredRound,
  without: ReadonlySet<string> = new Set(),
): Compared => {
  const keys = [...first.poses.keys()].filter((key) => later.poses.has(key));
  const before = keys.map((key) => first.poses.get(key)!);
  const after = keys.map((key) => later.poses.get(key)!);
  const still = (_: Pose, i: number): boolean => !without.has(keys[i]);
  const laid = absoluteOrientation(
    before.filter(still).map(({ t }) => t),
    after.filter(still).map(({ t }) => t),
  );
  return {
    shifts: keys.map((board, i) => ({
      board,
      shiftMm: norm(sub(transform(laid, before[i].t), after[i].t)),
    })),
    turnsDeg: keys.map((_, i) => turnBetween(laid, before[i], after[i])),
  };
};

/** Fewest boards that must stay put for the others to be judged by. */
const fewestStill = 4;

/**
 * Boards that were touched between two rounds: the one without which the others agree best is taken
 * out, as long as it stands out against them.
 */
const touchedBoards = (first: MeasuredRound, later: MeasuredRound): BoardShift[] => {
  const out = new Map<string, BoardShift>();
  for (;;) {
    const { shifts } = compare(first, later, new Set(out.keys()));
    const rest = shifts.filter(({ board }) => !out.has(board));
    if (rest.length <= fewestStill) return [...out.values()];
    const trials = rest.map(({ board }) => {
      const trial = compare(first, later, new Set([...out.keys(), board])).shifts;
      const others = trial.filter((s) => s.board !== board && !out.has(s.board));
      return {
        shift: trial.find((s) => s.board === board)!,
        median: upperMedian(others.map(({ shiftMm }) => shiftMm)) ?? 0,
        rms: rms(others.map(({ shiftMm }) => shiftMm)),
      };
    });
    const [odd] = trials.sort((a, b) => a.rms - b.rms);
    if (odd.shift.shiftMm <= Math.max(touched.mm, touched.timesMedian * odd.median))
      return [...out.values()];
    out.set(odd.shift.board, odd.shift);
  }
};

const turnBetween = (laid: Pose, before: Pose, after: Pose): number =>
  (norm(logRotation(matMul(transpose(after.R), matMul(laid.R, before.R)))) * 180) / Math.PI;

/**
 * Static pose (terms of ASTM E2919): how far a board's place and turn against all the others differ
 * between rounds of one group.
 */
const poseScatter = (groups: Grouped): PoseScatter => {
  const pairs = groups.flatMap(([first, ...later]) => later.map((round) => compare(first, round)));
  const places = pairs.flatMap(({ shifts }) => shifts.map(({ shiftMm }) => shiftMm / Math.SQRT2));
  const turns = pairs.flatMap(({ turnsDeg }) => turnsDeg.map((deg) => deg / Math.SQRT2));
  return {
    positionMm: rms(places),
    turnDeg: rms(turns),
    largestPositionMm: Math.max(0, ...places),
    largestTurnDeg: Math.max(0, ...turns),
  };
};

/** Boards that were touched between two rounds, whoever took them. */
const movedBoards = (groups: Grouped): AcceptanceRemark[] => {
  const [first, ...later] = groups.flat();
  return later.flatMap((round) =>
    touchedBoards(first, round).map(
      ({ board, shiftMm }): AcceptanceRemark => ({
        code: "accept-board-moved",
        values: { board: Number(board), shift: shiftMm, before: first.name, after: round.name },
        severity: "warning",
        message: `Board ${board} lay ${shiftMm.toFixed(1)} mm elsewhere in "${round.name}" than in "${first.name}".`,
        remedy: "Fix the board, measure its lengths again, and take both rounds again.",
        about: round.name,
      }),
    ),
  );
};
