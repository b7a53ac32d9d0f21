/**
 * Surveyed markers left out: five of six, their survey and the two photos say where the image and the
 * line of sight of the sixth must be, with an interval for it.
 *
 * Unknown are two stations, one lens, what each photo changes of it, the motion of either read-out, and
 * the survey's own errors: nothing of the camera was measured beforehand, so it is held by what is known
 * of any phone (below). Nobody states how well the survey and the found centres are: both are assumed and
 * scaled by one variance factor from the residuals, as sure as these are many (Fisher's distribution).
 */
import { statementFactors } from "../../src/adjust/factors/statement-factors.ts";
import { type Block, type Layout, layOut } from "../../src/adjust/problem/layout.ts";
import { moveState, priorState, type State } from "../../src/adjust/problem/state.ts";
import { normalEquations } from "../../src/adjust/solve/normal-equations.ts";
import { lensSize } from "../../src/lens/lens.ts";
import type { Mat3 } from "../../src/maths/pose.ts";
import { fisherQuantile } from "../../src/maths/statistics.ts";
import { phoneRanges } from "../tools/phone/ranges.ts";
import { blocksOfImage, imageOf, pointFactor, type SeenPoint, slopes } from "./points.ts";
import { spread } from "./spread.ts";
import type { Survey } from "./surveyed.ts";

/** Standard deviation of a surveyed coordinate, mm: the file has whole millimetres. Our assumption. */
const surveySdMm = 1;
/** Degrees of freedom that the assumed standard deviations count for: two, as for a shop's own figures. */
const assumedFreedom = 2;

/**
 * How well everything but the camera is known: image and survey standard deviations times these. The
 * second pair asks what would be left if both were ten times better: the doubt about lens and motion.
 */
interface Precision {
  readonly image: number;
  readonly survey: number;
}
const assumed: Precision = { image: 1, survey: 1 };
const tenTimesBetter: Precision = { image: 0.1, survey: 0.1 };

export interface LeftOut {
  readonly point: string;
  readonly photo: string;
  /** Seen less predicted, across the line of sight at the point's distance, mm. */
  readonly acrossMm: number;
  /** Half axis of the stated 95 % region in its worst direction, mm. */
  readonly statedMm: number;
  /** The same if image and survey were ten times better: what this geometry allows at most. */
  readonly allowedMm: number;
  readonly inside: boolean;
  /** Of the other five; small where the one that was left out is what does not fit. */
  readonly varianceFactor: number;
}

export interface SurveyFit {
  /** Residuals of the image with all markers, px: rms over coordinates, and the largest distance. */
  readonly rmsPx: number;
  readonly worstPx: number;
  /** Corrections of the survey, mm: rms over coordinates, and the largest. */
  readonly surveyRmsMm: number;
  readonly surveyWorstMm: number;
  readonly focalPx: number;
  readonly varianceFactor: number;
  readonly freedom: number;
}

export const leaveOneOut = (survey: Survey): LeftOut[] =>
  [...survey.points.keys()].flatMap((point) => {
    const rest = survey.seen.filter((s) => s.point !== point);
    const solved = solveSurvey(survey, rest, assumed);
    const better = solveSurvey(survey, rest, tenTimesBetter);
    return survey.seen
      .filter((s) => s.point === point)
      .map((s) => compare(survey, solved, better, s));
  });

/** All six markers together. */
export const fitAll = (survey: Survey): SurveyFit => {
  const { layout, state, factor, freedom } = solveSurvey(survey, survey.seen, assumed);
  const off = survey.seen.map((s) => {
    const [x, y] = imageOf(layout, state, s);
    return [s.at[0] - x, s.at[1] - y];
  });
  const moved = [...survey.points].map(([key, xyz]) =>
    xyz.map((v, k) => state.scalars[layout.scalarIndex.get(key)!][k] - v),
  );
  return {
    rmsPx: rms(off.flat()),
    worstPx: Math.max(...off.map(([x, y]) => Math.hypot(x, y))),
    surveyRmsMm: rms(moved.flat()),
    surveyWorstMm: Math.max(...moved.flat().map(Math.abs)),
    focalPx: state.lens[0],
    varianceFactor: factor,
    freedom,
  };
};

const rms = (v: readonly number[]): number =>
  Math.sqrt(v.reduce((s, x) => s + x * x, 0) / v.length);

/**
 * Prior covariance of any phone's lens, in lensOrder. Focal length: the EXIF equivalent is rounded to
 * a millimetre (2 %) and goes by diagonal or width (4 %): 3 % in all. Centre, decentring and radial
 * distortion: the ranges of the phone simulator, as shares of the radius at tan(field angle) 0.4 and 0.8;
 * between these two the sixth-order term is free by about a thousandth of the radius.
 */
const lensPrior = (focalPx: number, width: number): Float64Array => {
  const [near, far] = [phoneRanges.distortionNear, phoneRanges.distortionFar].map(
    ([low, high]) => (high - low) / Math.sqrt(12),
  );
  const [n, f] = [0.4 ** 2, 0.8 ** 2];
  // Columns: k1, k2, k3 of one share at the near radius alone, at the far one alone, at neither.
  const radial = [
    [f / (n * (f - n)), -1 / (n * (f - n)), 0],
    [-n / (f * (f - n)), 1 / (f * (f - n)), 0],
    [n * f, -(n + f), 1],
  ].map((column, i) => column.map((v) => v * [near, far, 0.05][i]));
  const c = new Float64Array(lensSize ** 2);
  const set = (i: number, k: number, value: number): void => {
    c[i * lensSize + k] = value;
  };
  for (const i of [0, 1]) set(i, i, (0.03 * focalPx) ** 2);
  for (const i of [2, 3]) set(i, i, ((phoneRanges.centreSdPx * width) / phoneRanges.width) ** 2);
  for (const i of [6, 7]) set(i, i, phoneRanges.decentring ** 2);
  const place = [4, 5, 8];
  place.forEach((i, a) => {
    place.forEach((k, b) => {
      set(
        i,
        k,
        radial.reduce((sum, column) => sum + column[a] * column[b], 0),
      );
    });
  });
  return c;
};

/** Cameras stand some metres before the wall and look along +y of the survey, z up. */
const lookAlongY: Mat3 = [1, 0, 0, 0, 0, -1, 0, 1, 0];

const layOutSurvey = (
  { points, lens, rows }: Survey,
  seen: readonly SeenPoint[],
  precision: Precision,
): Layout => {
  const width = 2 * lens.cx + 1;
  const sd = surveySdMm * precision.survey;
  return layOut({
    cameras: [
      {
        key: "camera",
        lens,
        priorCovariance: lensPrior(lens.fx, width),
        free: Array.from({ length: lensSize }, () => true),
        fixedAspect: true,
        focalSd: spread.focalSd,
        shiftSdPx: spread.shiftShare * width,
        motion: spread.motion,
      },
    ],
    photos: [...new Set(seen.map(({ photo }) => photo))].map((key) => ({
      key,
      camera: "camera",
      readout: { along: "rows", length: rows },
    })),
    ...{ boards: [], prints: [], observations: [], lengths: [], floor: [], frames: [], chains: [] },
    scalars: [...points].map(([key, xyz]) => ({
      key,
      mean: [...xyz],
      sd: [sd, sd, sd],
      source: "length reference" as const,
    })),
  });
};

const start = ({ points }: Survey, layout: Layout): State => {
  const begin = priorState(layout);
  const mean = [0, 1, 2].map(
    (k) => [...points.values()].reduce((s, p) => s + p[k], 0) / points.size,
  );
  const centre = [mean[0], mean[1] - 4000, mean[2]];
  const t = [-centre[0], centre[2], -centre[1]] as const;
  layout.problem.photos.forEach((_, i) => {
    begin.photoPose[i] = { R: lookAlongY, t };
  });
  return begin;
};

interface Solved {
  readonly layout: Layout;
  readonly state: State;
  readonly solve: (b: Float64Array) => void;
  /** Variance factor of image and survey from residuals and assumption together. */
  readonly factor: number;
  readonly freedom: number;
}

function solveSurvey(survey: Survey, seen: readonly SeenPoint[], precision: Precision): Solved {
  const layout = layOutSurvey(survey, seen, precision);
  const weighted = seen.map((s) => ({
    ...s,
    sd: [s.sd[0] * precision.image, s.sd[1] * precision.image] as const,
  }));
  const indexOf = (block: Block) => layout.blocks.indexOf(block);
  const factors = [
    ...weighted.map((s) => pointFactor(layout, s)),
    ...statementFactors(layout, indexOf),
  ];
  const equations = normalEquations(layout, factors);
  let state = start(survey, layout);
  let damping = 1e-2;
  let cost = equations.build(state);
  for (let step = 0; step < 200; step++) {
    const solution = equations.factor(damping, []);
    if (!solution.ok) throw new Error("not determined");
    const delta = equations.gradient.map((g) => -g);
    solution.solve(delta);
    const trial = moveState(layout, state, delta);
    const trialCost = factors.reduce((sum, f) => sum + f.cost(trial), 0);
    const gain = cost - trialCost;
    if (gain >= 0) {
      state = trial;
      cost = equations.build(state);
      damping /= 10;
      if (gain < 1e-9 && damping < 1e-9) break;
    } else damping *= 10;
  }
  const solution = equations.factor(0, []);
  if (!solution.ok) throw new Error("not determined");
  const { squares, freedom } = redundancy(survey, layout, state, solution.solve, weighted);
  return {
    ...{ layout, state, solve: solution.solve },
    factor: (assumedFreedom + squares) / (assumedFreedom + freedom),
    freedom: assumedFreedom + freedom,
  };
}

/** Rows of a point's image over all unknowns, px per unit. */
const imageRows = (layout: Layout, state: State, seen: SeenPoint): Float64Array[] => {
  const blocks = blocksOfImage(layout, seen.photo, seen.point);
  const width = blocks.reduce((sum, { size }) => sum + size, 0);
  const j = new Float64Array(2 * width);
  slopes(layout, blocks, state, (s) => imageOf(layout, s, seen), [1, 1], j);
  return [0, 1].map((row) => {
    const full = new Float64Array(layout.size);
    let from = 0;
    for (const block of blocks) {
      full.set(j.subarray(row * width + from, row * width + from + block.size), block.offset);
      from += block.size;
    }
    return full;
  });
};

/** a (cofactor) b over all unknowns. */
const cofactor = (solve: Solved["solve"], a: Float64Array, b: Float64Array): number => {
  const x = b.slice();
  solve(x);
  return a.reduce((sum, v, i) => sum + v * x[i], 0);
};

/** Weighted squares of image and survey residuals, and the redundancy that these have. */
function redundancy(
  { points }: Survey,
  layout: Layout,
  state: State,
  solve: Solved["solve"],
  seen: readonly SeenPoint[],
): { readonly squares: number; readonly freedom: number } {
  let [squares, freedom] = [0, 0];
  for (const s of seen) {
    const image = imageOf(layout, state, s);
    imageRows(layout, state, s).forEach((row, k) => {
      squares += ((image[k] - s.at[k]) / s.sd[k]) ** 2;
      freedom += 1 - cofactor(solve, row, row) / s.sd[k] ** 2;
    });
  }
  for (const [key, xyz] of points) {
    const at = layout.scalarIndex.get(key)!;
    const { sd } = layout.problem.scalars[at];
    xyz.forEach((v, k) => {
      const unit = new Float64Array(layout.size);
      unit[layout.scalarBlock[at].offset + k] = 1;
      squares += ((state.scalars[at][k] - v) / sd[k]) ** 2;
      freedom += 1 - cofactor(solve, unit, unit) / sd[k] ** 2;
    });
  }
  return { squares, freedom };
}

/** Covariance of a seen less a predicted image, px^2, before any factor. */
const covarianceOf = ({ layout, state, solve }: Solved, seen: SeenPoint, image: number) => {
  const rows = imageRows(layout, state, seen);
  return {
    xx: cofactor(solve, rows[0], rows[0]) + (seen.sd[0] * image) ** 2,
    xy: cofactor(solve, rows[0], rows[1]),
    yy: cofactor(solve, rows[1], rows[1]) + (seen.sd[1] * image) ** 2,
  };
};
type Covariance = ReturnType<typeof covarianceOf>;

const largestOf = ({ xx, xy, yy }: Covariance): number =>
  (xx + yy) / 2 + Math.hypot((xx - yy) / 2, xy);

function compare({ lens }: Survey, solved: Solved, better: Solved, seen: SeenPoint): LeftOut {
  const { layout, state, factor, freedom } = solved;
  const { photo, point, at } = seen;
  const predicted = imageOf(layout, state, seen);
  const c = covarianceOf(solved, seen, 1);
  const [dx, dy] = [at[0] - predicted[0], at[1] - predicted[1]];
  const squared =
    (c.yy * dx * dx - 2 * c.xy * dx * dy + c.xx * dy * dy) / (c.xx * c.yy - c.xy * c.xy);
  const limit = 2 * factor * fisherQuantile(0.95, 2, freedom);
  const { R, t } = state.photoPose[layout.photoIndex.get(photo)!];
  const xyz = state.scalars[layout.scalarIndex.get(point)!];
  const depth = R[6] * xyz[0] + R[7] * xyz[1] + R[8] * xyz[2] + t[2];
  const mmPerPx = depth / lens.fx;
  const normal = 2 * fisherQuantile(0.95, 2, Number.POSITIVE_INFINITY);
  return {
    ...{ point, photo, acrossMm: Math.hypot(dx, dy) * mmPerPx },
    statedMm: Math.sqrt(limit * largestOf(c)) * mmPerPx,
    allowedMm:
      Math.sqrt(normal * largestOf(covarianceOf(better, seen, tenTimesBetter.image))) * mmPerPx,
    inside: squared < limit,
    varianceFactor: factor,
  };
}
