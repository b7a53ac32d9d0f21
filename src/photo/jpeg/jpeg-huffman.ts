/**
 * Huffman tables of a JPEG (ISO/IEC 10918-1, annexes C and F), turned into look-up tables that give
 * run, size and, where the bits suffice, the finished coefficient from one look.
 *
 * Entry (one 32-bit integer):
 *   bits 0..5   length of code and extra bits together, 0 where the code is longer than the look-up
 *   bits 6..9   size: number of extra bits that carry the value
 *   bits 10..16 advance: run + 1 before a value, 16 for a run of sixteen zeros, 64 + r for end of
 *               block (r > 0 only in progressive files: an end-of-band run of 2^r and more)
 *   bits 17..31 the value itself, signed, 0 where it did not fit into the look-up
 */
export const lookupBits = 11;
export const lookupShift = 32 - lookupBits;

export interface HuffmanTable {
  readonly lookup: Int32Array;
  /** Largest code of each length (index 1..16), -1 where there is none. */
  readonly maxCode: Int32Array;
  /** Index into `entries` of the code 0 of each length. */
  readonly base: Int32Array;
  /** Entry without value for every symbol in the order of the codes. */
  readonly entries: Int32Array;
}

/**
 * Builds a table from the 16 code counts and the symbols of a DHT segment.
 * Returns null where they do not describe a prefix code.
 */
export function buildHuffmanTable(
  counts: Uint8Array,
  symbols: Uint8Array,
  kind: "dc" | "ac",
): HuffmanTable | null {
  const lookup = new Int32Array(1 << lookupBits);
  const maxCode = new Int32Array(17).fill(-1);
  const base = new Int32Array(17);
  const entries = new Int32Array(symbols.length);
  let code = 0;
  let index = 0;
  for (let length = 1; length <= 16; length++) {
    base[length] = index - code;
    for (let i = 0; i < counts[length - 1]; i++, code++, index++) {
      if (code >= 1 << length) return null;
      const entry = symbolEntry(symbols[index], length, kind);
      if (entry === 0) return null;
      entries[index] = entry;
      if (length <= lookupBits) fillLookup(lookup, code, length, entry);
      maxCode[length] = code;
    }
    code <<= 1;
  }
  return { lookup, maxCode, base, entries };
}

function symbolEntry(symbol: number, length: number, kind: "dc" | "ac"): number {
  const run = kind === "ac" ? symbol >> 4 : 0;
  const size = kind === "ac" ? symbol & 15 : symbol;
  if (size > 15) return 0;
  let advance = run + 1;
  if (kind === "ac" && size === 0) advance = run === 15 ? 16 : 64 + run;
  return (advance << 10) | (size << 6) | (length + size);
}

function fillLookup(lookup: Int32Array, code: number, length: number, entry: number): void {
  const spare = lookupBits - length;
  const size = (entry >> 6) & 15;
  const first = code << spare;
  for (let rest = 0; rest < 1 << spare; rest++) {
    let value = 0;
    if (size > 0 && size <= spare) value = extend(rest >> (spare - size), size);
    lookup[first + rest] = entry | (value << 17);
  }
}

/** EXTEND of the standard: the signed value behind `size` extra bits. */
export function extend(bits: number, size: number): number {
  return bits < 1 << (size - 1) ? bits - (1 << size) + 1 : bits;
}

/** Entry for a code longer than the look-up; `window` holds the bits left-aligned. 0: no such code. */
export function longEntry(table: HuffmanTable, window: number): number {
  for (let length = lookupBits + 1; length <= 16; length++) {
    const code = window >>> (32 - length);
    if (code <= table.maxCode[length]) return table.entries[table.base[length] + code];
  }
  return 0;
}
