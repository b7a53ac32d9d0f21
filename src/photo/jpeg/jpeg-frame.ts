/** Shapes shared by the JPEG scan decoders: the frame, its components, one scan. */

import type { LumaMemory } from "../grey/luma-memory.ts";
import type { HuffmanTable } from "./jpeg-huffman.ts";

export interface JpegComponent {
  readonly id: number;
  /** Sampling factors. */
  readonly h: number;
  readonly v: number;
  /** Index of its quantisation table. */
  readonly quantIndex: number;
  /** Blocks that hold picture, columns and rows. */
  readonly blocksWide: number;
  readonly blocksHigh: number;
  /** Quantisation steps in zigzag order, fixed at the component's first scan. */
  quant: Uint16Array | null;
}

export interface JpegFrame {
  readonly width: number;
  readonly height: number;
  readonly progressive: boolean;
  readonly components: readonly JpegComponent[];
  readonly mcusWide: number;
  readonly mcusHigh: number;
}

export interface ScanComponent {
  readonly component: JpegComponent;
  /** Null where the scan does not need the table. */
  readonly dc: HuffmanTable | null;
  readonly ac: HuffmanTable | null;
}

/** Why a scan could not be decoded, and how many rows of the picture were complete before. */
export interface ScanFailure {
  readonly kind: "ends early" | "damaged";
  readonly rows: number;
}

/** Where the grey values of a component go. */
export interface Plane {
  readonly component: JpegComponent;
  readonly width: number;
  readonly height: number;
  readonly data: Uint8ClampedArray<ArrayBuffer>;
}

/**
 * MCU grid of a scan: with one component its own blocks are the units, with several the frame's.
 */
export function scanGrid(
  frame: JpegFrame,
  scan: readonly ScanComponent[],
): { wide: number; high: number; rowsPerUnit: number } {
  if (scan.length > 1) {
    const tall = Math.max(...frame.components.map((c) => c.v));
    return { wide: frame.mcusWide, high: frame.mcusHigh, rowsPerUnit: 8 * tall };
  }
  const { blocksWide, blocksHigh } = scan[0].component;
  return { wide: blocksWide, high: blocksHigh, rowsPerUnit: Math.ceil(frame.height / blocksHigh) };
}

/** Makes the plane of a component that carries the frame's full resolution, in given memory or new. */
export function makePlane(frame: JpegFrame, component: JpegComponent, memory?: LumaMemory): Plane {
  const { width, height } = frame;
  const buffer = memory ? memory.take(width * height) : new ArrayBuffer(width * height);
  return { component, width, height, data: new Uint8ClampedArray(buffer) };
}

/**
 * Largest quantised DC value that is believed: four times what 8-bit pictures can have. Beyond it
 * the differences were misread.
 */
export function dcLimit(quant: Uint16Array): number {
  return Math.ceil(4096 / quant[0]) + 2;
}
