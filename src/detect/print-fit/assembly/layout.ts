/// <reference path="../assembly-types.d.ts" />
/**
 * Where things lie in the memory of the compiled pixel loop: the one description, compiled into the
 * loop and imported by its callers. Bytes, unless a name says otherwise; a number takes eight.
 */

/** Crossings along one side of a board, and tiles (one around every crossing). */
export const perSide: usize = 15;
export const tileCount: usize = perSide * perSide;

/** Entries of the edge profiles per standard deviation, half their range, and all of them. */
export const edgePerUnit: usize = 72;
export const edgeRange: usize = 7;
export const edgeEntries: usize = 2 * edgeRange * edgePerUnit + 2;
/** Entries of the tone table, and of the table of exp(-x) per unit of x and up to which x. */
export const toneEntries: usize = 4096;
export const expPerUnit: usize = 64;
export const expRange: usize = 20;

/**
 * Local unknowns of a tile, as columns of its sums: shift along u and v (cells), blur along u and v
 * (cells) and its correlation, two tone coefficients, sharpening, gain, offset; then the residual;
 * then what only passes with the shape of the blur fill: how far it is a disc, and the skewness of
 * colours that do not meet.
 */
export const residualColumn: usize = 10;
export const discColumn: usize = 11;
export const colourColumn: usize = 12;
export const columns: usize = 13;
/** Products of all columns with all: lower triangle, rows rounded up to pairs. Numbers. */
export const productCount: usize = 98;
/** Unknowns of a board at most, and links between them and the local unknowns of one tile. */
export const mostUnknowns: usize = 29;
export const linksPerTile: usize = 47;
/** Grid lines each way that a tile sees at most, and cells then. */
export const mostLines: usize = 7;
const windowCells: usize = (mostLines + 1) * (mostLines + 1);
/** Kinds of crossings in the soft copy's table, and numbers of each. */
export const softKinds: usize = 26;
export const softNumbers: usize = 9;

// --- One tile's numbers, from its start ---
export const invBlurU: usize = 0;
export const invBlurV: usize = 8;
export const correlation: usize = 16;
export const invSoftU: usize = 24;
export const invSoftV: usize = 32;
/** Offset and gain, each with slopes along u and v. */
export const light: usize = 40;
export const dark: usize = 88;
export const contrast: usize = 96;
export const share: usize = 104;
/** Beyond these distances from both lines a pixel says nothing, cells. */
export const reachU: usize = 112;
export const reachV: usize = 120;
/** The soft copy of an edge's bump: 1 / its width, and its height; see soft-print.ts. */
export const invBumpU: usize = 128;
export const invBumpV: usize = 136;
export const bumpU: usize = 144;
export const bumpV: usize = 152;
/** Slope of grey by light at the tile's black and white. */
export const darkSlope: usize = 160;
export const whiteSlope: usize = 168;
/** 1 / sqrt(1 - r^2) of the correlation r; then what `jointAt` needs for r and for the soft copy's. */
export const conditional: usize = 176;
export const joint: usize = 184;
export const softJoint: usize = 288;
/**
 * Relative change of the blur along u per cell of u and of v, and half of that per cell on the way
 * to the nearest point of a u line; then the same of the blur along v.
 */
export const growthU: usize = 392;
export const growthV: usize = 416;
/** Deviations of the blur along u and v for a pixel towards the rim of the photo, where colours part. */
export const rimU: usize = 440;
export const rimV: usize = 448;
export const tileBytes: usize = 464;

// --- The picture's numbers, from `frame` ---
/** Coefficients of the patch for X and for Y, and how many each has. */
export const patchTerms: usize = 21;
export const patchX: usize = 0;
export const patchY: usize = patchX + 8 * patchTerms;
export const gridFromPlane: usize = patchY + 8 * patchTerms;
/** Corners of the board in pixels of the picture. */
export const corners: usize = gridFromPlane + 72;
/**
 * Curvatures along u u, u v and v v, camera over the board right and down of its centre, 1 / the
 * camera's height; 0 for a flat board.
 */
export const bend: usize = corners + 64;
/** Grid units from and to which pixels are used: u, u, v, v. */
export const bounds: usize = bend + 48;
const frameBytes: usize = bounds + 32;

// --- Results of the value functions, from `values` ---
export const white: usize = 0;
export const alongU: usize = 8;
export const alongV: usize = 16;
export const widenU: usize = 24;
export const widenV: usize = 32;
export const turning: usize = 40;
export const soft: usize = 48;
export const softAlongU: usize = 56;
export const softAlongV: usize = 64;
/** What a disc adds; then the derivatives towards the rim, of first to third order. */
export const disc: usize = 72;
export const rim1: usize = 80;
export const rim2: usize = 88;
export const rim3: usize = 96;
export const valueBytes: usize = 104;

// --- The parts of the memory, one after the other ---
/** Edge and slope in turn; the disc's difference from the edge; grey and slope in turn. */
export const edgeTable: usize = 65536;
export const discTable: usize = edgeTable + 16 * edgeEntries;
export const toneTable: usize = discTable + 8 * edgeEntries;
export const expTable: usize = toneTable + 16 * (toneEntries + 2);
export const softPrint: usize = expTable + 8 * (expRange * expPerUnit + 2);
export const steps: usize = softPrint + 8 * softKinds * softNumbers;
export const tiles: usize = steps + 8 * tileCount * windowCells;
export const productBytes: usize = 8 * productCount;
export const products: usize = tiles + tileCount * tileBytes;
export const counts: usize = products + tileCount * productBytes;
export const linkBytes: usize = 8 * linksPerTile;
export const coefficients: usize = counts + 8 * tileCount;
export const matrix: usize = coefficients + tileCount * linkBytes;
export const right: usize = matrix + 8 * mostUnknowns * mostUnknowns;
export const frame: usize = right + 8 * mostUnknowns;
export const values: usize = frame + frameBytes;
/** Scratch of the value functions and of the normal equations. */
export const work: usize = values + valueBytes;
export const workBytes: usize = 4096;
/** Links of every unknown, the local unknown that each moves, and the unknown it belongs to. */
export const starts: usize = work + workBytes;
export const components: usize = starts + 4 * (mostUnknowns + 1);
export const movers: usize = components + 4 * linksPerTile;
/** Bytes from here: tiles that are looked at, kinds of crossings, grey values. */
export const active: usize = movers + 4 * linksPerTile;
export const codes: usize = active + tileCount;
export const picture: usize = codes + tileCount * windowCells;
