import { boardOutline, ringSaddles } from "../../boards/pattern.ts";
import { applyHomography, type Homography } from "../../maths/homography.ts";
import type { LumaImage } from "../../photo/grey/luma.ts";
import type { BoardView } from "../findings/findings.ts";
import { outlineOf, type PlaneMap } from "../picture/plane-map.ts";
import {
  fitPattern,
  greyContrast,
  homographyOfFit,
  type PatternFit,
  type PatternWorkspace,
  patternFeatures,
  sagittaShare,
  showsPrint,
} from "../print-fit/print-fit.ts";
import { type BoardFacts, judgeBoard, meanCellPx, obliquity } from "../quality/quality.ts";
import type { ProvenBoard } from "../ring/ring-fit.ts";

// All numbers here are our own, checked by bench:detect; no source.

/**
 * A whole-pattern fit whose corners are farther than this from the ring's, px, has converged to
 * something else, unless it shows the print by itself (`showsPrint`): strong blur at a flat angle
 * shifts the ring's points, not the pattern.
 */
const maxDeparturePx = 0.6;
/** Farthest that a fit's corners may be from the start in any case, cells. */
const maxDepartureCells = 1.5;
/** Light of the fitted white, 1 = the brightest that a photo can hold, that counts as burnt out. */
const burntLight = 1.15;
/** Smallest standard deviation of the ring's crossings, px. */
const leastRingSigmaPx = 0.01;
/** Smallest variance of the blur across its narrow direction, px^2, for the ratio of the two. */
const leastBlurVariance = 0.05;
/** Smallest light of the white in the ratio of brightest to darkest. */
const leastLight = 1e-3;

/**
 * Features of one board: from the whole-pattern fit, or from the ring's saddle points where that
 * does not converge. Null where neither shows a board.
 */
export function boardView(
  image: LumaImage,
  board: ProvenBoard,
  map: PlaneMap,
  work: PatternWorkspace,
): BoardView | null {
  const ringSeen = board.fit.used.length > 0;
  const fit = fitPattern(image, board, map, work);
  const features = fit && patternFeatures(fit, map);
  if (!fit || !features) return ringSeen ? ringView(image, board, map) : null;
  const homography = homographyOfFit(fit);
  const away = departure(board.fit.homography, homography);
  const proven = away < maxDepartureCells * meanCellPx(homography) && showsPrint(fit);
  const trusted = (ringSeen && away < maxDeparturePx) || proven;
  if (!trusted) return ringSeen ? ringView(image, board, map) : null;
  return {
    id: board.id,
    ...features,
    outline: outlineOf(homography, boardOutline, map),
    quality: judgeBoard({ ...placement(image, homography, map), ...factsOfFit(fit) }),
  };
}

function ringView(image: LumaImage, { id, fit }: ProvenBoard, map: PlaneMap): BoardView {
  const points = fit.used.flatMap((i) => [ringSaddles[i].x, ringSaddles[i].y]);
  return {
    id,
    boardPoints: Float64Array.from(points),
    pixels: fit.pixels,
    noise: { kind: "isotropic", sigmaPx: Math.max(leastRingSigmaPx, fit.residualPx) },
    outline: outlineOf(fit.homography, boardOutline, map),
    quality: judgeBoard({
      ...placement(image, fit.homography, map),
      blurPx: fit.blurPx,
      contrast: fit.contrast,
      coveredShare: 1 - fit.used.length / ringSaddles.length,
      residualPx: fit.residualPx,
      burntShare: 0,
      sagittaShare: 0,
      blurRatio: 1,
      lightRatio: 1,
    }),
  };
}

const placement = (image: LumaImage, homography: Homography, map: PlaneMap) => ({
  cellPx: meanCellPx(homography),
  obliquityDeg: obliquity(homography, map.lens, image.width, image.height),
});

function factsOfFit(fit: PatternFit): Omit<BoardFacts, "cellPx" | "obliquityDeg"> {
  const [xx, xy, yy] = fit.state.blur;
  const middle = (xx + yy) / 2;
  const spread = Math.hypot((xx - yy) / 2, xy);
  const { gain: g, offset: o } = fit.state;
  const whites = [-1, 0, 1].flatMap((q) =>
    [-1, 0, 1].map(
      (p) =>
        o[0] +
        o[1] * p +
        o[2] * q +
        g[0] +
        g[1] * p +
        g[2] * q +
        g[3] * p * p +
        g[4] * p * q +
        g[5] * q * q,
    ),
  );
  const burnt = whites.filter((light) => light > burntLight).length;
  return {
    blurPx: Math.sqrt(middle),
    contrast: greyContrast(fit.state),
    coveredShare: fit.coveredShare,
    residualPx: fit.residualPx,
    burntShare: burnt / whites.length,
    sagittaShare: sagittaShare(fit.state.bend),
    blurRatio: Math.sqrt((middle + spread) / Math.max(leastBlurVariance, middle - spread)),
    lightRatio: Math.max(...whites) / Math.max(leastLight, Math.min(...whites)),
  };
}

/** Largest distance between two maps over the board's corners, px. */
function departure(a: Homography, b: Homography): number {
  let largest = 0;
  for (let i = 0; i < boardOutline.length; i += 2) {
    const [ax, ay] = applyHomography(a, boardOutline[i], boardOutline[i + 1]);
    const [bx, by] = applyHomography(b, boardOutline[i], boardOutline[i + 1]);
    largest = Math.max(largest, Math.hypot(ax - bx, ay - by));
  }
  return largest;
}
