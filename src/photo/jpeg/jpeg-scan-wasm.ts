/**
 * The WebAssembly way through a sequential scan: 128-bit vectors do the cosine transform, 64-bit
 * numbers read the codes. The plain TypeScript way gives the same grey values, slower.
 */
import type { EntropyData } from "./jpeg-entropy.ts";
import {
  dcLimit,
  type JpegFrame,
  type Plane,
  type ScanComponent,
  type ScanFailure,
  scanGrid,
} from "./jpeg-frame.ts";
import type { HuffmanTable } from "./jpeg-huffman.ts";
import { zigzag } from "./jpeg-idct.ts";
import { scanCode } from "./jpeg-scan-code.ts";

interface ScanExports {
  readonly memory: WebAssembly.Memory;
  startScan(channels: number, stride: number): void;
  turnWords(from: number, to: number): void;
  startSegment(from: number, to: number): void;
  restIsPadding(): number;
  bytePosition(): number;
  decodeMcus(from: number, to: number): number;
}

/** Memory layout, shared with assembly/jpeg-scan.ts. */
const place = {
  channels: 65536,
  channelBytes: 32768,
  acTable: 16384,
  quant: 28672,
  longCodes: 8192,
  longBases: 8320,
  longEntries: 8448,
  zigzag: 196608,
  block: 196864,
  settings: 197376,
  strip: 262144,
} as const;

/** Memory that is kept for the next photo, bytes; more is given back. */
const keptBytes = 48e6;

let compiled: WebAssembly.Module | null | undefined;
let kept: ScanExports | null = null;

/** A decoder for one scan, or null where the platform lacks WebAssembly or its vectors. */
export function openFastScan(): FastScan | null {
  compiled ??= compile();
  if (!compiled) return null;
  const exports = kept ?? (new WebAssembly.Instance(compiled).exports as unknown as ScanExports);
  kept = null;
  return new FastScan(exports);
}

function compile(): WebAssembly.Module | null {
  try {
    const code = Uint8Array.from(atob(scanCode), (letter) => letter.charCodeAt(0));
    return new WebAssembly.Module(code);
  } catch {
    return null;
  }
}

export class FastScan {
  private dataAt = 0;
  private stride = 0;

  constructor(private readonly wasm: ScanExports) {}

  /** Memory for the clean entropy data behind the strip that one row of MCUs needs. */
  reserve(
    frame: JpegFrame,
    scan: readonly ScanComponent[],
    plane: Plane,
    size: number,
  ): Uint8Array {
    const interleaved = scan.length > 1;
    const { h, v } = plane.component;
    this.stride = scanGrid(frame, scan).wide * (interleaved ? h : 1) * 8;
    const rows = interleaved ? v * 8 : 8;
    this.dataAt = place.strip + Math.ceil((this.stride * rows) / 16) * 16;
    const { memory } = this.wasm;
    const missing = this.dataAt + size + 16 - memory.buffer.byteLength;
    if (missing > 0) memory.grow(Math.ceil(missing / 65536));
    return new Uint8Array(memory.buffer, this.dataAt, size);
  }

  /** Decodes the scan into the plane. Returns null when every MCU of the scan was there. */
  decode(
    frame: JpegFrame,
    scan: readonly ScanComponent[],
    entropy: EntropyData,
    restartInterval: number,
    plane: Plane,
  ): ScanFailure | null {
    this.prepare(scan, plane);
    const failure = this.run(frame, scan, entropy, restartInterval, plane);
    if (this.wasm.memory.buffer.byteLength <= keptBytes) kept = this.wasm;
    return failure;
  }

  private run(
    frame: JpegFrame,
    scan: readonly ScanComponent[],
    { ends, view }: EntropyData,
    restartInterval: number,
    plane: Plane,
  ): ScanFailure | null {
    const { wasm, dataAt } = this;
    const { wide, high, rowsPerUnit } = scanGrid(frame, scan);
    const interval = restartInterval || wide * high;
    const stripRows = scan.length > 1 ? plane.component.v * 8 : 8;
    wasm.startScan(scan.length, this.stride);
    wasm.turnWords(dataAt, dataAt + view.byteLength);
    wasm.startSegment(dataAt, dataAt + ends[0] / 8);
    let segment = 0;
    let left = interval;
    for (let row = 0; row < high; row++) {
      for (let column = 0; column < wide; ) {
        if (left === 0) {
          if (!wasm.restIsPadding()) return failure("damaged");
          segment++;
          if (segment === ends.length) return failure("ends early");
          wasm.startSegment(dataAt + ends[segment - 1] / 8, dataAt + ends[segment] / 8);
          left = interval;
        }
        const stop = Math.min(wide, column + left);
        if (wasm.decodeMcus(column, stop) !== stop) {
          const atEnd =
            segment === ends.length - 1 && wasm.bytePosition() > dataAt + ends[segment] / 8;
          return failure(atEnd ? "ends early" : "damaged");
        }
        left -= stop - column;
        column = stop;
      }
      this.copyRows(plane, row * stripRows, stripRows);

      function failure(kind: ScanFailure["kind"]): ScanFailure {
        return { kind, rows: Math.min(row * rowsPerUnit, frame.height) };
      }
    }
    if (segment !== ends.length - 1 || !wasm.restIsPadding()) {
      return { kind: "damaged", rows: frame.height };
    }
    return null;
  }

  private prepare(scan: readonly ScanComponent[], plane: Plane): void {
    const { buffer } = this.wasm.memory;
    new Uint8Array(buffer, place.zigzag + 1, zigzag.length).set(zigzag);
    new Int16Array(buffer, place.block, 128).fill(0);
    scan.forEach(({ component, dc, ac }, c) => {
      const quant = component.quant;
      if (!dc || !ac || !quant) throw new Error("a sequential scan was started without its tables");
      const base = place.channels + c * place.channelBytes;
      putTable(buffer, base, dc);
      putTable(buffer, base + place.acTable, ac);
      new Uint16Array(buffer, base + place.quant + 2, 64).set(quant);
      const columns = scan.length > 1 ? component.h : 1;
      const rows = scan.length > 1 ? component.v : 1;
      const limit = component === plane.component ? dcLimit(quant) : 0;
      new Int32Array(buffer, place.settings + 16 * c, 4).set([columns, rows, limit, 0]);
    });
  }

  private copyRows(plane: Plane, first: number, count: number): void {
    const { width, height, data } = plane;
    const rows = Math.min(count, height - first);
    const { buffer } = this.wasm.memory;
    if (this.stride === width) {
      data.set(new Uint8Array(buffer, place.strip, rows * width), first * width);
      return;
    }
    for (let r = 0; r < rows; r++) {
      const line = new Uint8Array(buffer, place.strip + r * this.stride, width);
      data.set(line, (first + r) * width);
    }
  }
}

function putTable(buffer: ArrayBuffer, at: number, table: HuffmanTable): void {
  new Int32Array(buffer, at, table.lookup.length).set(table.lookup);
  new Int32Array(buffer, at + place.longCodes, 17).set(table.maxCode);
  new Int32Array(buffer, at + place.longBases, 17).set(table.base);
  new Int32Array(buffer, at + place.longEntries, table.entries.length).set(table.entries);
}
