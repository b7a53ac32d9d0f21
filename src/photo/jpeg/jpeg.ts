/**
 * Luma-only JPEG decoder: baseline, extended sequential and progressive Huffman files of 8 bits.
 *
 * Only the Y component is transformed; the others' entropy data is read over. The grey values equal
 * those of the common JPEG libraries' grey output, so that the same photo measures the same in
 * every browser and in Node. Damaged or shortened files are refused, never half shown.
 */

import type { Remark } from "../file/codes.ts";
import {
  damaged,
  damagedAt,
  endsEarlyRemark,
  printColours,
  tooManyBytes,
  tooManyPixels,
  unsupported,
  unsupportedFrame,
} from "../file/photo-remarks.ts";
import type { LumaImage } from "../grey/luma.ts";
import type { LumaMemory } from "../grey/luma-memory.ts";
import { findMarker, readEntropyData } from "./jpeg-entropy.ts";
import { type JpegFrame, makePlane, type Plane, type ScanFailure } from "./jpeg-frame.ts";
import {
  emptyTables,
  nextSegment,
  readFrame,
  readHuffmanTables,
  readQuantTables,
  readScanHeader,
  type ScanHeader,
  type Segment,
} from "./jpeg-header.ts";
import {
  type CoefficientStore,
  decodeProgressiveScan,
  makeStore,
  renderStore,
} from "./jpeg-progressive.ts";
import { openFastScan } from "./jpeg-scan-wasm.ts";
import { decodeSequentialScan } from "./jpeg-sequential.ts";

export type LumaOutcome =
  | { readonly ok: true; readonly luma: LumaImage }
  | { readonly ok: false; readonly remark: Remark };

/** Largest picture that is decoded, px; progressive files need five bytes a pixel on the way. */
export const maxPixels = 200e6;
export const maxProgressivePixels = 100e6;
/** Largest file, bytes: bit positions must stay within 31 bits. */
export const maxBytes = 200e6;

export interface DecodeOptions {
  /** Whether the WebAssembly way may be taken where the platform has it; the default. */
  readonly wasm?: boolean;
  /** Where the picture goes, instead of new memory; the next picture overwrites it. */
  readonly memory?: LumaMemory;
}

/**
 * Decodes a JPEG's luma in sensor orientation.
 *
 * Errors (codes): jpeg-ends-early, jpeg-damaged, jpeg-unsupported, jpeg-colour, photo-too-large.
 */
export function decodeJpeg(bytes: Uint8Array, options: DecodeOptions = {}): LumaOutcome {
  return new JpegDecoder(bytes, options.wasm ?? true, options.memory).decode();
}

class JpegDecoder {
  private readonly tables = emptyTables();
  private frame: JpegFrame | null = null;
  private planes: Plane[] = [];
  private stores: CoefficientStore[] = [];
  /** Components (by their plane's index) that a sequential scan has completed. */
  private readonly complete = new Set<Plane>();
  private adobeTransform = -1;
  private hasJfif = false;

  constructor(
    private readonly bytes: Uint8Array,
    private readonly mayUseWasm: boolean,
    private readonly memory?: LumaMemory,
  ) {}

  decode(): LumaOutcome {
    const { bytes } = this;
    if (bytes.length > maxBytes) return refuse(tooManyBytes(bytes.length, maxBytes));
    let at = 0;
    for (;;) {
      const segment = nextSegment(bytes, at);
      if (!segment) return refuse(this.endsEarly());
      if (segment.code === 0xd9) return this.finishAtEnd();
      const remark = segment.code === 0xda ? null : this.readSegment(segment);
      if (remark) return refuse(remark);
      at = segment.end;
      if (segment.code !== 0xda) continue;
      const next = this.readScan(segment);
      if (typeof next !== "number") return refuse(next);
      if (this.isSequentialDone()) return this.finish();
      at = next;
    }
  }

  /** Tables, frame and application segments. Returns what stands against going on. */
  private readSegment({ code, payload }: Segment): Remark | null {
    if (code === 0xdb) return readQuantTables(payload, this.tables) ? null : damaged("DQT");
    if (code === 0xc4) return readHuffmanTables(payload, this.tables) ? null : damaged("DHT");
    if (code === 0xdd) {
      if (payload.length < 2) return damaged("DRI");
      this.tables.restartInterval = (payload[0] << 8) | payload[1];
    } else if (code === 0xe0) this.hasJfif ||= startsWith(payload, "JFIF\0");
    else if (code === 0xee && startsWith(payload, "Adobe") && payload.length >= 12) {
      this.adobeTransform = payload[11];
    } else if (code >= 0xc0 && code <= 0xcf && code !== 0xc8) return this.startFrame(code, payload);
    return null;
  }

  private startFrame(code: number, payload: Uint8Array): Remark | null {
    if (this.frame) return damaged("SOF");
    if (code > 0xc2) return unsupportedFrame(code);
    if (payload[0] === 12) return unsupported("12 bits per sample");
    const frame = payload[0] === 8 ? readFrame(payload, code === 0xc2) : null;
    if (!frame) return damaged("SOF");
    const kind = frame.progressive ? "a progressive JPEG" : "a photo";
    const limit = frame.progressive ? maxProgressivePixels : maxPixels;
    if (frame.width * frame.height > limit)
      return tooManyPixels(frame.width, frame.height, kind, limit);
    const remark = this.checkColour(frame);
    if (remark) return remark;
    const targets = this.isRgb(frame) ? frame.components : [frame.components[0]];
    this.frame = frame;
    this.planes = targets.map((c, i) => makePlane(frame, c, i === 0 ? this.memory : undefined));
    if (frame.progressive) this.stores = targets.map((c) => makeStore(frame, c));
    return null;
  }

  private checkColour(frame: JpegFrame): Remark | null {
    const { components } = frame;
    if (components.length === 4) return printColours();
    if (components.length === 2) return unsupported("two colour components");
    const [first] = components;
    const needFull = this.isRgb(frame) ? components : [first];
    const coarse = needFull.some((c) => components.some((o) => o.h > c.h || o.v > c.v));
    return coarse ? unsupported("a grey component of reduced size") : null;
  }

  /** RGB rather than YCbCr, decided as common practice does: JFIF, then Adobe, then the ids. */
  private isRgb({ components }: JpegFrame): boolean {
    if (components.length !== 3 || this.hasJfif) return false;
    if (this.adobeTransform >= 0) return this.adobeTransform === 0;
    return components.map((c) => String.fromCharCode(c.id)).join("") === "RGB";
  }

  /** Decodes one scan; returns the offset behind it. */
  private readScan(segment: Segment): number | Remark {
    if (!this.frame) return damaged("SOS");
    const header = readScanHeader(segment.payload, this.frame, this.tables);
    if (!header) return damaged("SOS");
    const wanted = header.scan.some((s) => this.planes.some((p) => p.component === s.component));
    if (!wanted) return findMarker(this.bytes, segment.end);
    return this.decodeScan(this.frame, header, segment.end);
  }

  private decodeScan(frame: JpegFrame, header: ScanHeader, start: number): number | Remark {
    const { scan, band } = header;
    const { restartInterval } = this.tables;
    const [plane] = this.planes;
    const plain = frame.progressive || this.planes.length > 1;
    const fast = plain || !this.mayUseWasm ? null : openFastScan();
    const allocate = fast ? (size: number) => fast.reserve(frame, scan, plane, size) : undefined;
    const entropy = readEntropyData(this.bytes, start, allocate);
    if (!entropy.restartsInOrder) return this.scanRemark({ kind: "damaged", rows: 0 }, false);
    const failure = frame.progressive
      ? decodeProgressiveScan(frame, scan, band, entropy, restartInterval, this.stores)
      : fast
        ? fast.decode(frame, scan, entropy, restartInterval, plane)
        : decodeSequentialScan(frame, scan, entropy, restartInterval, this.planes);
    if (failure) return this.scanRemark(failure, entropy.fileEnded);
    for (const plane of this.planes) {
      if (scan.some((s) => s.component === plane.component)) this.complete.add(plane);
    }
    return entropy.next;
  }

  private isSequentialDone(): boolean {
    return !!this.frame && !this.frame.progressive && this.complete.size === this.planes.length;
  }

  private finishAtEnd(): LumaOutcome {
    if (!this.frame?.progressive) return refuse(this.endsEarly());
    const whole = this.stores.every((s) => s.missing.every((bits) => bits === 0));
    if (!whole) return refuse(this.endsEarly());
    this.stores.forEach((store, i) => {
      renderStore(store, this.planes[i]);
    });
    return this.finish();
  }

  private finish(): LumaOutcome {
    const [first] = this.planes;
    if (this.planes.length === 3) mixRgb(this.planes);
    const data = new Uint8Array(first.data.buffer);
    return { ok: true, luma: { width: first.width, height: first.height, data } };
  }

  private scanRemark(failure: ScanFailure, fileEnded: boolean): Remark {
    const frame = this.frame as JpegFrame;
    const of = `${failure.rows} of ${frame.height} rows`;
    if (failure.kind === "ends early" && fileEnded) {
      if (frame.progressive) return this.endsEarly();
      return endsEarlyRemark(`only ${of} of the picture are there`);
    }
    return damagedAt(of);
  }

  private endsEarly(): Remark {
    if (!this.frame) return endsEarlyRemark("it holds no picture");
    if (this.complete.size === 0) {
      return endsEarlyRemark(`0 of ${this.frame.height} rows of the picture are there`);
    }
    return endsEarlyRemark("the picture's fine detail is missing");
  }
}

/** Grey of RGB planes with the weights of ITU-R BT.601 in 16 bits, into the first plane. */
function mixRgb([red, green, blue]: readonly Plane[]): void {
  for (let i = 0; i < red.data.length; i++) {
    const sum = 19595 * red.data[i] + 38470 * green.data[i] + 7471 * blue.data[i];
    red.data[i] = (sum + 32768) >> 16;
  }
}

function refuse(remark: Remark): LumaOutcome {
  return { ok: false, remark };
}

function startsWith(bytes: Uint8Array, text: string): boolean {
  return [...text].every((letter, i) => bytes[i] === letter.charCodeAt(0));
}
