import type { Lens } from "../../lens/lens.ts";
import { type Homography, homographyJacobian } from "../../maths/homography.ts";
import type { Said, SaidValues } from "../../say/remark.ts";
import type { BoardQuality, Grade } from "../findings/findings.ts";

/** What the fit of one board tells about the photo. */
export interface BoardFacts {
  readonly cellPx: number;
  readonly obliquityDeg: number;
  readonly blurPx: number;
  readonly contrast: number;
  readonly coveredShare: number;
  readonly residualPx: number;
  /** Share of the board's white paper that is burnt out (255). */
  readonly burntShare: number;
  /** Longest over shortest spread of the blur, 1 = round. */
  readonly blurRatio: number;
  /** Sagitta of the board's bend over its width. */
  readonly sagittaShare: number;
  /** Light changes across the board by this factor at most (reflection, hard shadow), 1 = even. */
  readonly lightRatio: number;
}

export type QualityCode =
  | "faint-unusable"
  | "covered-unusable"
  | "small"
  | "flat-angle"
  | "shaken"
  | "blurred"
  | "faint"
  | "burnt"
  | "uneven-light"
  | "covered"
  | "bent"
  | "misfit";

/** Limits of the grades. Our own, from the benchmarks; no source. */
const limits = {
  /** Grey levels between black and white below which a board is not used, and is weak. */
  unusableContrast: 12,
  weakContrast: 40,
  /** Share of the board that is covered, above which it is not used, and is weak. */
  unusableCoveredShare: 0.6,
  weakCoveredShare: 0.25,
  /** Side of a cell, px, below which the board is small. */
  smallCellPx: 4,
  /** Angle between the board's normal and the line of sight, degrees. */
  flatAngleDeg: 73,
  /** Longest over shortest blur, from a blur (standard deviation, px) at which it shows. */
  shakenBlurRatio: 1.8,
  shakenBlurPx: 1.2,
  /** Standard deviation of the blur, px. */
  blurPx: 2.5,
  /** Share of the white paper that is burnt out. */
  burntShare: 0.5,
  /** Brightest over darkest light on the white paper. */
  lightRatio: 2.5,
  /** Sagitta of the bend over the board's width. */
  sagittaShare: 0.011,
  /** Root mean square of the fit's residuals, px. */
  residualPx: 0.15,
} as const;
/** Focal length over the longer side of the picture, typical of phones. Common practice, no source. */
const usualFocalShare = 0.75;

interface Rule {
  readonly grade: Grade;
  readonly applies: (facts: BoardFacts) => boolean;
  readonly code: QualityCode;
  readonly values?: (facts: BoardFacts) => SaidValues;
  readonly sentence: (facts: BoardFacts) => string;
}

const px = (value: number) => value.toFixed(1);

/** The rules, worst first. */
const rules: readonly Rule[] = [
  {
    grade: "not used",
    code: "faint-unusable",
    applies: (f) => f.contrast < limits.unusableContrast,
    sentence: () => "Black and white hardly differ: too dark, or washed out by a reflection.",
  },
  {
    grade: "not used",
    code: "covered-unusable",
    values: (f) => ({ share: f.coveredShare }),
    applies: (f) => f.coveredShare > limits.unusableCoveredShare,
    sentence: (f) => `${Math.round(100 * f.coveredShare)} % of the board is covered.`,
  },
  {
    grade: "weak",
    code: "small",
    values: (f) => ({ cell: f.cellPx }),
    applies: (f) => f.cellPx < limits.smallCellPx,
    sentence: (f) => `The board is small in the photo (${px(f.cellPx)} pixels a cell): go closer.`,
  },
  {
    grade: "weak",
    code: "flat-angle",
    values: (f) => ({ slant: f.obliquityDeg }),
    applies: (f) => f.obliquityDeg > limits.flatAngleDeg,
    sentence: (f) => `The board is seen at a flat angle (${Math.round(f.obliquityDeg)} degrees).`,
  },
  {
    grade: "weak",
    code: "shaken",
    applies: (f) => f.blurRatio > limits.shakenBlurRatio && f.blurPx > limits.shakenBlurPx,
    sentence: () => "The camera moved during the exposure: hold it still or add light.",
  },
  {
    grade: "weak",
    code: "blurred",
    values: (f) => ({ blur: f.blurPx }),
    applies: (f) => f.blurPx > limits.blurPx,
    sentence: (f) => `The board is out of focus or blurred (${px(f.blurPx)} pixels).`,
  },
  {
    grade: "weak",
    code: "faint",
    applies: (f) => f.contrast >= limits.unusableContrast && f.contrast < limits.weakContrast,
    sentence: () => "Little difference between black and white: add light or avoid reflections.",
  },
  {
    grade: "weak",
    code: "burnt",
    applies: (f) => f.burntShare > limits.burntShare,
    sentence: () => "The paper is burnt out to pure white: reduce the exposure.",
  },
  {
    grade: "weak",
    code: "uneven-light",
    applies: (f) => f.lightRatio > limits.lightRatio,
    sentence: () => "The light on the board is uneven (reflection or hard shadow).",
  },
  {
    grade: "weak",
    code: "covered",
    values: (f) => ({ share: f.coveredShare }),
    applies: (f) =>
      f.coveredShare > limits.weakCoveredShare && f.coveredShare <= limits.unusableCoveredShare,
    sentence: (f) => `${Math.round(100 * f.coveredShare)} % of the board is covered or disturbed.`,
  },
  {
    grade: "weak",
    code: "bent",
    values: (f) => ({ share: f.sagittaShare }),
    applies: (f) => f.sagittaShare > limits.sagittaShare,
    sentence: (f) =>
      `The board is bent by ${(100 * f.sagittaShare).toFixed(1)} % of its width: fix it to something flat.`,
  },
  {
    grade: "weak",
    code: "misfit",
    values: (f) => ({ residual: f.residualPx }),
    applies: (f) => f.residualPx > limits.residualPx,
    sentence: (f) =>
      `The print does not fit a flat board well (${f.residualPx.toFixed(2)} pixels).`,
  },
];

const order: readonly Grade[] = ["good", "weak", "not used"];

/** Grade and reasons from the numbers. */
export function judgeBoard(facts: BoardFacts): BoardQuality {
  let grade: Grade = "good";
  const reasons: string[] = [];
  const said: Said<QualityCode>[] = [];
  for (const rule of rules) {
    if (!rule.applies(facts)) continue;
    if (order.indexOf(rule.grade) > order.indexOf(grade)) grade = rule.grade;
    reasons.push(rule.sentence(facts));
    said.push({ code: rule.code, values: rule.values?.(facts) });
  }
  const { cellPx, obliquityDeg, blurPx, contrast, coveredShare, residualPx } = facts;
  return {
    grade,
    reasons,
    said,
    cellPx,
    obliquityDeg,
    blurPx,
    contrast,
    coveredShare,
    residualPx,
  };
}

/**
 * Angle between a board's normal and the line of sight, degrees, from its homography to plane
 * pixels. Without a lens a typical focal length and a principal point in the middle of the
 * picture (width and height, px) are assumed.
 */
export function obliquity(h: Homography, lens: Lens | null, width: number, height: number): number {
  const fx = lens?.fx ?? usualFocalShare * Math.max(width, height);
  const fy = lens?.fy ?? fx;
  const cx = lens?.cx ?? (width - 1) / 2;
  const cy = lens?.cy ?? (height - 1) / 2;
  const ray = (k: number): [number, number, number] => [
    (h[k] - cx * h[6 + k]) / fx,
    (h[3 + k] - cy * h[6 + k]) / fy,
    h[6 + k],
  ];
  const [a, b, t] = [ray(0), ray(1), ray(2)];
  const n = [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]];
  const cos = (n[0] * t[0] + n[1] * t[1] + n[2] * t[2]) / (Math.hypot(...n) * Math.hypot(...t));
  return (Math.acos(Math.min(1, Math.abs(cos))) * 180) / Math.PI;
}

/** Mean side of a cell at the board's centre, px; `h` maps board cells to pixels. */
export function meanCellPx(h: Homography): number {
  const [a, b, c, d] = homographyJacobian(h, 0, 0);
  return Math.sqrt(Math.abs(a * d - b * c));
}
