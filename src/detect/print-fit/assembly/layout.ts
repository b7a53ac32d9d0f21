/** Where things lie in the memory; the same numbers stand in ../pattern-memory.ts. Bytes. */
export const edgeTable: usize = 65536;
export const toneTable: usize = 98304;
export const steps: usize = 196608;
export const products: usize = 360448;
export const counts: usize = 491520;
export const active: usize = 493568;
export const coefficients: usize = 495616;
export const starts: usize = 573440;
export const components: usize = 573568;
export const movers: usize = 573760;
export const matrix: usize = 574464;
export const right: usize = 581632;
export const frame: usize = 583680;
export const values: usize = 585728;
export const work: usize = 586752;
export const softPrint: usize = 589824;
export const expTable: usize = 593920;
export const tiles: usize = 655360;
export const codes: usize = 756160;
export const picture: usize = 770560;

/** Bytes of one tile's numbers and products. */
export const tileBytes: usize = 448;
export const productBytes: usize = 576;

/** A tile's numbers, bytes from its start. */
export const invBlurU: usize = 0;
export const invBlurV: usize = 8;
export const correlation: usize = 16;
export const invSoftU: usize = 24;
export const invSoftV: usize = 32;
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

/**
 * The picture's numbers, bytes from `frame`: patch (21 numbers for X, 21 for Y), grid from plane
 * (9), corners of the board (8) in pixels of the picture, its bend (curvatures along u u, u v and v v,
 * camera over the board right and down of its centre, 1 / the camera's height; 0 for a flat board).
 */
export const patchX: usize = 0;
export const patchY: usize = 168;
export const gridFromPlane: usize = 336;
export const corners: usize = 408;
export const bend: usize = 472;
export const bounds: usize = 520;

/** Results of the value functions, bytes from `values`. */
export const white: usize = 0;
export const alongU: usize = 8;
export const alongV: usize = 16;
export const widenU: usize = 24;
export const widenV: usize = 32;
export const turning: usize = 40;
export const soft: usize = 48;
export const softAlongU: usize = 56;
export const softAlongV: usize = 64;
