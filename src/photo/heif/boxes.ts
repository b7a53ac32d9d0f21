/** Boxes of ISO base media files (ISO/IEC 14496-12), as far as stills need them. */

export interface Box {
  readonly type: string;
  /** What is inside, without the box's own head. */
  readonly data: Bytes;
}

/** Reads big-endian numbers one after the other; past the end it throws a `BoxError`. */
export class Bytes {
  at = 0;
  private readonly view: DataView;

  constructor(
    readonly bytes: Uint8Array,
    /** Place of the first byte in the file. */
    readonly from: number,
  ) {
    this.view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  }

  get left(): number {
    return this.bytes.length - this.at;
  }

  u8(): number {
    return this.view.getUint8(this.step(1));
  }

  u16(): number {
    return this.view.getUint16(this.step(2));
  }

  u32(): number {
    return this.view.getUint32(this.step(4));
  }

  i32(): number {
    return this.view.getInt32(this.step(4));
  }

  /** An unsigned number of 0, 1, 2, 4 or 8 bytes. */
  sized(size: number): number {
    let value = 0;
    for (let i = 0; i < size; i++) value = value * 256 + this.u8();
    return value;
  }

  text(length: number): string {
    const start = this.step(length);
    return String.fromCharCode(...this.bytes.subarray(start, start + length));
  }

  /** Version and flags, with which a full box begins. */
  head(): { readonly version: number; readonly flags: number } {
    const word = this.u32();
    return { version: word >>> 24, flags: word & 0xffffff };
  }

  /** The boxes that follow, to the end. */
  boxes(): Box[] {
    const found: Box[] = [];
    while (this.left >= 8) {
      const start = this.at;
      const size = this.u32();
      const type = this.text(4);
      const whole = size === 1 ? this.sized(8) : size === 0 ? this.bytes.length - start : size;
      const end = start + whole;
      if (end < this.at || end > this.bytes.length) throw new BoxError();
      found.push({ type, data: new Bytes(this.bytes.subarray(this.at, end), this.from + this.at) });
      this.at = end;
    }
    return found;
  }

  private step(length: number): number {
    const start = this.at;
    if (length > this.left) throw new BoxError();
    this.at += length;
    return start;
  }
}

/** The file is damaged or ends early. */
export class BoxError extends Error {}

export const boxOf = (boxes: readonly Box[], type: string): Bytes | null =>
  boxes.find((box) => box.type === type)?.data ?? null;
