/**
 * Memory of the compiled pixel loop (assembly/pattern-pass.ts), shared by all fits of a thread: it
 * holds tables, the part of the photo around one board, what is known of its tiles, and their sums.
 */
import type { LumaImage } from "../../../photo/grey/luma.ts";
import { toneTable } from "../../picture/tone.ts";
import * as at from "../assembly/layout.ts";
import { discTable, edgeTable, expTable } from "./edge-spread.ts";
import { tileCount } from "./pattern-cells.ts";
import { patternCode } from "./pattern-code.ts";

interface PassExports {
  readonly memory: WebAssembly.Memory;
  runPass(
    width: number,
    rows: number,
    x0: number,
    y0: number,
    inverseScale: number,
    lines: number,
    rowStep: number,
    columnStep: number,
    tone1: number,
    tone2: number,
    sharpening: number,
    withShape: boolean,
  ): void;
  setShaped(yes: boolean): void;
  assemble(unknowns: number): void;
  halve(from: number, stride: number, to: number, width: number, rows: number): void;
  valueAtCrossing(steps: number, tile: number, du: number, dv: number): void;
  valueInWindow(steps: number, lines: number, tile: number, du: number, dv: number): void;
  softPrintAtCrossing(codes: number, tile: number, du: number, dv: number): number;
  softPrint(codes: number, lines: number, tile: number, du: number, dv: number): number;
}

/** Place of the product of two columns in a tile's sums; i >= j. */
export const productIndex = (i: number, j: number): number => {
  const half = (i + 1) >> 1;
  return 2 * (i % 2 === 0 ? half * (half + 1) : half * half) + j;
};
const pageBytes = 65536;
/** Rows of a half-size picture that are made at once, few enough for the processor's cache. */
const stripRows = 16;

export interface TileSums {
  /** `productCount` per tile. */
  readonly products: Float64Array;
  /** Pixels per tile. */
  readonly count: Float64Array;
}

export class PatternMemory implements TileSums {
  readonly code: PassExports;
  /** The whole memory as numbers; a larger photo part replaces all views. */
  numbers = new Float64Array(0);
  products = this.numbers;
  count = this.numbers;
  active = new Uint8Array(0);
  codes = new Uint8Array(0);
  private half = new Uint8Array(0);

  constructor() {
    const bytes = Uint8Array.from(atob(patternCode), (letter) => letter.charCodeAt(0));
    const module = new WebAssembly.Module(bytes);
    this.code = new WebAssembly.Instance(module).exports as unknown as PassExports;
    this.reserve(at.picture);
    this.numbers.set(edgeTable, at.edgeTable / 8);
    this.numbers.set(discTable, at.discTable / 8);
    this.numbers.set(toneTable, at.toneTable / 8);
    this.numbers.set(expTable, at.expTable / 8);
  }

  /** Copies a part of the photo, x0, y0, x1, y1 (inclusive), for the passes that follow. */
  loadPicture(image: LumaImage, box: readonly [number, number, number, number]): void {
    const [x0, y0, x1, y1] = box;
    const width = x1 - x0 + 1;
    this.reserve(at.picture + width * (y1 - y0 + 1));
    const bytes = new Uint8Array(this.code.memory.buffer);
    let to = at.picture;
    for (let y = y0; y <= y1; y++, to += width) {
      const from = y * image.width + x0;
      bytes.set(image.data.subarray(from, from + width), to);
    }
  }

  /**
   * Half-size picture, each pixel the mean of 2 x 2; at least 16 pixels wide. Goes in strips. The
   * next call overwrites the result.
   */
  halve({ data, width: stride, height }: LumaImage): LumaImage {
    const width = stride >> 1;
    const rows = height >> 1;
    if (this.half.length !== width * rows) this.half = new Uint8Array(width * rows);
    const out = this.half;
    const to = at.picture + 2 * stripRows * stride;
    this.reserve(to + stripRows * width);
    const bytes = new Uint8Array(this.code.memory.buffer);
    for (let y = 0; y < rows; y += stripRows) {
      const count = Math.min(stripRows, rows - y);
      bytes.set(data.subarray(2 * y * stride, 2 * (y + count) * stride), at.picture);
      this.code.halve(at.picture, stride, to, width, count);
      out.set(bytes.subarray(to, to + count * width), y * width);
    }
    return { width, height: rows, data: out };
  }

  /** Forgets the half-size picture, where no photo follows for a while. */
  dropHalf(): void {
    this.half = new Uint8Array(0);
  }

  private reserve(bytes: number): void {
    const { memory } = this.code;
    const missing = bytes - memory.buffer.byteLength;
    if (missing > 0) memory.grow(Math.ceil(missing / pageBytes));
    if (this.numbers.buffer === memory.buffer) return;
    this.numbers = new Float64Array(memory.buffer);
    this.products = this.numbers.subarray(
      at.products / 8,
      at.products / 8 + tileCount * at.productCount,
    );
    this.count = this.numbers.subarray(at.counts / 8, at.counts / 8 + tileCount);
    this.active = new Uint8Array(memory.buffer, at.active, tileCount);
    this.codes = new Uint8Array(memory.buffer, at.codes, at.picture - at.codes);
  }
}

let shared: PatternMemory | null = null;

/** The thread's memory; opened at the first fit. */
export const patternMemory = (): PatternMemory => {
  shared ??= new PatternMemory();
  return shared;
};
