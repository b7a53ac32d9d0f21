import { marginCells } from "../../boards/pattern.ts";
import type { StraightPatch } from "../picture/straight-patch.ts";
import * as at from "./assembly/layout.ts";
import type { BoardBend, Sight } from "./pattern-bend.ts";
import { crossingsPerSide, type PatternSteps, tileCount } from "./print/pattern-cells.ts";
import type { PatternMemory } from "./print/pattern-memory.ts";
import { bendOfTone, fillSoftTable, softTableSize, type ToneBend } from "./print/soft-table.ts";

/** What the pixel loop needs to know about every tile. */
export interface TileState {
  /** Tiles that the fit looks at. */
  crossings: Int32Array;
  readonly blurU: Float64Array;
  readonly blurV: Float64Array;
  readonly correlation: Float64Array;
  readonly softU: Float64Array;
  readonly softV: Float64Array;
  readonly softCorrelation: Float64Array;
  /** Light at the tile: offset and gain, each with slopes along u and v (6 per tile). */
  readonly light: Float64Array;
  /** Grey of black, and grey difference between white and black, at the tile. */
  readonly dark: Float64Array;
  readonly contrast: Float64Array;
  /** Deviations of the blur along u and v for a pixel towards the rim of the photo. */
  readonly rimU: Float64Array;
  readonly rimV: Float64Array;
  /** Slope of grey by light at black and at white. */
  readonly darkSlope: Float64Array;
  readonly whiteSlope: Float64Array;
}

export interface PassInput {
  /** Region of the board in the photo: x0, y0, x1, y1 (inclusive). */
  readonly box: readonly [number, number, number, number];
  /** Corners of the board in the photo, x0, y0, .. */
  readonly outline: Float64Array;
  readonly patch: StraightPatch;
  /** Plane coordinates to grid units, last number 1. */
  readonly gridFromPlane: Float64Array;
  readonly tiles: TileState;
}

/** A board that is not flat, and where the camera stands over it. */
export interface Bent {
  readonly bend: BoardBend;
  readonly sight: Sight;
}

export interface PassSettings {
  readonly bent: Bent | null;
  readonly steps: PatternSteps;
  readonly tone: Float64Array;
  readonly sharpening: number;
  /** Use every n-th row, and every n-th pixel in it. */
  readonly rowStep: number;
  readonly columnStep: number;
  /** Uses pixels near the paper's edge too, which lead a fit that is still far off. */
  readonly toEdge: boolean;
  /** Sums up what the shape of the blur would change, too. */
  readonly withShape: boolean;
}

/** Beyond this distance from a line, in standard deviations, a pixel says nothing about it. */
const edgeReach = 2.6;

/**
 * One pass over the board's pixels: grey residuals and derivatives, summed up per tile in `memory`,
 * which holds the picture already. The derivatives with respect to the board's unknowns follow from
 * the tile's sums, which saves most of the work per pixel. Model: see assembly/pattern-pass.ts `addPixel`.
 */
export function runPass(input: PassInput, settings: PassSettings, memory: PatternMemory): void {
  const { patch, box } = input;
  const { steps, tone, sharpening, rowStep, columnStep } = settings;
  const { numbers } = memory;
  const inFrame = (part: number): number => (at.frame + part) / 8;
  numbers.set(patch.forX, inFrame(at.patchX));
  numbers.set(patch.forY, inFrame(at.patchY));
  numbers.set(input.gridFromPlane, inFrame(at.gridFromPlane));
  for (let k = 0; k < 8; k++) numbers[inFrame(at.corners) + k] = input.outline[k] - box[k % 2];
  describeBend(settings.bent, numbers.subarray(inFrame(at.bend), inFrame(at.bend) + 6));
  numbers.set(boundsOf(input.tiles, settings.toEdge), inFrame(at.bounds));
  numbers.set(steps.steps, at.steps / 8);
  memory.active.set(steps.busy);
  memory.codes.set(steps.codes);
  const light = 6 * (tileCount >> 1);
  const bend = bendOfTone(input.tiles.light[light], input.tiles.light[light + 3], tone);
  const softTable = at.softPrint / 8;
  fillSoftTable(bend, numbers.subarray(softTable, softTable + softTableSize));
  describeTiles(input.tiles, bend, numbers);
  const [x0, y0, x1, y1] = box;
  memory.code.runPass(
    x1 - x0 + 1,
    y1 - y0 + 1,
    x0 - patch.cx,
    y0 - patch.cy,
    1 / patch.scale,
    steps.lines,
    rowStep,
    columnStep,
    tone[0],
    tone[1],
    sharpening,
    settings.withShape,
  );
}

/**
 * Deviations of the blur from the paper's edge within which a pixel mixes with what lies behind the
 * board: 1.7 left a bias on the corner bench, 2.5 lost boards.
 */
const marginReach = 2.0;

/**
 * Grid units u and v from and to which pixels are used: up to half a cell beyond the pattern, less
 * where the blur reaches over the white margin. (A marker of the sheet lies further inside.)
 */
function boundsOf({ crossings, blurU, blurV }: TileState, toEdge: boolean): number[] {
  const last = crossingsPerSide - 1;
  if (toEdge || crossings.length < tileCount) return [-0.5, last + 0.5, -0.5, last + 0.5];
  const widest = (blur: Float64Array, tileAt: (k: number) => number): number => {
    let most = 0;
    for (let k = 0; k <= last; k++) most = Math.max(most, blur[tileAt(k)]);
    return Math.min(0.5, marginCells - marginReach * most);
  };
  return [
    -widest(blurU, (k) => k * crossingsPerSide),
    last + widest(blurU, (k) => k * crossingsPerSide + last),
    -widest(blurV, (k) => k),
    last + widest(blurV, (k) => last * crossingsPerSide + k),
  ];
}

/** Numbers as in assembly/layout.ts. */
function describeBend(bent: Bent | null, out: Float64Array): void {
  out.fill(0);
  if (!bent) return;
  const [m, d, e] = bent.bend;
  const { right, down, height } = bent.sight;
  out.set([0.5 * (m + d), 0.5 * e, 0.5 * (m - d), right, down, 1 / height]);
}

/**
 * Bumps of an edge of blur 1: F (1 - F) has the area 1 / sqrt(pi) and the variance 5/6, its odd
 * companion 13/18 where its first moment counts (integrals of the normal distribution F, checked by
 * summing); one width between the two serves both.
 */
const evenArea = 1 / Math.sqrt(Math.PI);
const bumpVariance = 0.79;

/** Width of an edge's bump in the soft copy, from the edge's and the soft edge's, same unit. */
const bumpWidth = (blur: number, soft: number): number =>
  Math.sqrt(soft * soft - (1 - bumpVariance) * blur * blur);

/** Gauss-Legendre rules on 0 .. 1: node, weight. */
const twoNodes = [
  [0.5 - 0.5 / Math.sqrt(3), 0.5],
  [0.5 + 0.5 / Math.sqrt(3), 0.5],
] as const;
const fourNodes = [
  [0.0694318442, 0.1739274226],
  [0.3300094782, 0.3260725774],
  [0.6699905218, 0.3260725774],
  [0.9305681558, 0.1739274226],
] as const;
/** Correlation from which two nodes are worse than 1e-4; four are so from 0.95. */
const twoNodesUpTo = 0.7;

/**
 * What `jointAt` needs for a correlation r: F(h, k; r) - F(h) F(k) = 1/(2 pi) x integral over 0 ..
 * asin r of exp(-(h^2 - 2 h k sin t + k^2) / (2 cos^2 t)) dt (Owen 1956). Number of nodes; then for
 * each 2 sin t, 1 / (2 cos^2 t) and the weight.
 */
function describeJoint(r: number, numbers: Float64Array, from: number): void {
  const nodes = Math.abs(r) > twoNodesUpTo ? fourNodes : twoNodes;
  const angle = Math.asin(r);
  numbers[from] = nodes.length;
  for (let k = 0; k < nodes.length; k++) {
    const s = Math.sin(angle * nodes[k][0]);
    numbers[from + 3 * k + 1] = 2 * s;
    numbers[from + 3 * k + 2] = 0.5 / (1 - s * s);
    numbers[from + 3 * k + 3] = (angle * nodes[k][1]) / (2 * Math.PI);
  }
}

/** A tile's numbers about corners under blur that is correlated by r, and by `soft` in the copy. */
export function describeCorners(
  r: number,
  soft: number,
  numbers: Float64Array,
  tile: number,
): void {
  numbers[tile + at.conditional / 8] = 1 / Math.sqrt(1 - r * r);
  describeJoint(r, numbers, tile + at.joint / 8);
  describeJoint(soft, numbers, tile + at.softJoint / 8);
}

/**
 * Relative changes of the blurs per cell at a tile, from its neighbours. The point of a u line that
 * is nearest in the photo lies r blurV / blurU cells along v for every cell along u.
 */
function describeGrowth(tiles: TileState, tile: number, numbers: Float64Array, from: number): void {
  const col = tile % crossingsPerSide;
  const row = (tile - col) / crossingsPerSide;
  const right = col < crossingsPerSide - 1 ? 1 : 0;
  const left = col > 0 ? 1 : 0;
  const down = row < crossingsPerSide - 1 ? crossingsPerSide : 0;
  const up = row > 0 ? crossingsPerSide : 0;
  const { blurU, blurV } = tiles;
  const u = 1 / ((right + left) * blurU[tile]);
  const v = crossingsPerSide / ((down + up) * blurU[tile]);
  const uByU = u * (blurU[tile + right] - blurU[tile - left]);
  const uByV = v * (blurU[tile + down] - blurU[tile - up]);
  const ratio = blurV[tile] / blurU[tile];
  const vByU = (u * (blurV[tile + right] - blurV[tile - left])) / ratio;
  const vByV = (v * (blurV[tile + down] - blurV[tile - up])) / ratio;
  const r = tiles.correlation[tile];
  numbers[from] = uByU;
  numbers[from + 1] = uByV;
  numbers[from + 2] = 0.5 * (uByU - r * ratio * uByV);
  numbers[from + 3] = vByU;
  numbers[from + 4] = vByV;
  numbers[from + 5] = 0.5 * (vByV - (r / ratio) * vByU);
}

function describeTiles(tiles: TileState, bend: ToneBend, numbers: Float64Array): void {
  for (const tile of tiles.crossings) {
    const o = (at.tiles + tile * at.tileBytes) / 8;
    const set = (part: number, value: number): void => {
      numbers[o + part / 8] = value;
    };
    const [blurU, blurV] = [tiles.blurU[tile], tiles.blurV[tile]];
    const [softU, softV] = [tiles.softU[tile], tiles.softV[tile]];
    set(at.invBlurU, 1 / blurU);
    set(at.invBlurV, 1 / blurV);
    set(at.correlation, tiles.correlation[tile]);
    set(at.invSoftU, 1 / softU);
    set(at.invSoftV, 1 / softV);
    for (let k = 0; k < 6; k++) numbers[o + at.light / 8 + k] = tiles.light[6 * tile + k];
    set(at.dark, tiles.dark[tile]);
    set(at.contrast, tiles.contrast[tile]);
    set(at.share, (bend.even * blurU) / softU);
    set(at.reachU, edgeReach * blurU);
    set(at.reachV, edgeReach * blurV);
    const widthU = bumpWidth(blurU, softU);
    const widthV = bumpWidth(blurV, softV);
    set(at.invBumpU, 1 / widthU);
    set(at.invBumpV, 1 / widthV);
    set(at.bumpU, (evenArea * blurU) / widthU);
    set(at.bumpV, (evenArea * blurV) / widthV);
    set(at.darkSlope, tiles.darkSlope[tile]);
    set(at.whiteSlope, tiles.whiteSlope[tile]);
    set(at.rimU, tiles.rimU[tile]);
    set(at.rimV, tiles.rimV[tile]);
    describeGrowth(tiles, tile, numbers, o + at.growthU / 8);
    describeCorners(tiles.correlation[tile], tiles.softCorrelation[tile], numbers, o);
  }
}
