/** Writes grey JPEGs of any size whose 8 x 8 blocks are each of one grey value; for tests only. */

const quantStep = 8;

/**
 * @param grey value of the block in a column and row, 0..255; with steps of 8 / 8 = 1 it comes back
 *   exactly
 */
export function writeFlatJpeg(
  width: number,
  height: number,
  grey: (column: number, row: number) => number,
): Uint8Array {
  const wide = Math.ceil(width / 8);
  const high = Math.ceil(height / 8);
  const bits = new BitWriter(wide * high * 4 + 64);
  let before = 0;
  for (let row = 0; row < high; row++) {
    for (let column = 0; column < wide; column++) {
      // DC coefficient = 8 (grey - 128), one step of 8 for each grey level.
      const value = grey(column, row) - 128;
      putDifference(bits, value - before);
      before = value;
      bits.put(0, 1);
    }
  }
  const parts = [header(width, height), bits.finish(), Uint8Array.of(0xff, 0xd9)];
  return new Uint8Array(Buffer.concat(parts));
}

/** DC codes: sizes 0..11 as four-bit codes; AC: the single code 0 ends the block. */
function header(width: number, height: number): Uint8Array {
  const size = [height >> 8, height & 255, width >> 8, width & 255];
  const sizes = Array.from({ length: 12 }, (_, i) => i);
  return Uint8Array.from([
    ...[0xff, 0xd8],
    ...[0xff, 0xdb, 0, 67, 0, ...new Array(64).fill(quantStep)],
    ...[0xff, 0xc0, 0, 11, 8, ...size, 1, 1, 0x11, 0],
    ...[0xff, 0xc4, 0, 31, 0x00, 0, 0, 0, 12, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, ...sizes],
    ...[0xff, 0xc4, 0, 20, 0x10, 1, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0],
    ...[0xff, 0xda, 0, 8, 1, 1, 0x00, 0, 63, 0],
  ]);
}

function putDifference(bits: BitWriter, difference: number): void {
  const size = difference === 0 ? 0 : 32 - Math.clz32(Math.abs(difference));
  bits.put(size, 4);
  if (size > 0) bits.put(difference > 0 ? difference : difference + (1 << size) - 1, size);
}

class BitWriter {
  private bytes: Uint8Array;
  private at = 0;
  private held = 0;
  private count = 0;

  constructor(size: number) {
    this.bytes = new Uint8Array(size);
  }

  put(value: number, length: number): void {
    this.held = (this.held << length) | value;
    this.count += length;
    while (this.count >= 8) {
      this.count -= 8;
      const byte = (this.held >> this.count) & 255;
      this.bytes[this.at++] = byte;
      if (byte === 255) this.bytes[this.at++] = 0;
      this.held &= (1 << this.count) - 1;
    }
  }

  finish(): Uint8Array {
    if (this.count > 0) this.put((1 << (8 - this.count)) - 1, 8 - this.count);
    return this.bytes.subarray(0, this.at);
  }
}
