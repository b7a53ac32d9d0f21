/** Ways to spoil a file: flipped bytes, cuts, copies; for JSON also other values at any place. */
import fc from "fast-check";

/** One change of a file's bytes; `at` and `from` are shares of its length. */
interface ByteChange {
  readonly how: "flip" | "set" | "cut" | "drop" | "copy" | "insert";
  readonly at: number;
  readonly from: number;
  readonly length: number;
  readonly value: number;
}

const share = fc.double({ min: 0, max: 1, noNaN: true, maxExcluded: true });

export const byteChanges: fc.Arbitrary<ByteChange[]> = fc.array(
  fc.record({
    how: fc.constantFrom("flip", "flip", "flip", "set", "set", "cut", "drop", "copy", "insert"),
    at: share,
    from: share,
    length: fc.integer({ min: 1, max: 64 }),
    value: fc.constantFrom(0, 1, 0x7f, 0x80, 0xc0, 0xd8, 0xda, 0xff, 0x20, 0x22, 0x5b, 0x7b),
  }),
  { minLength: 1, maxLength: 6 },
);

export function withByteChanges(seed: Uint8Array, changes: readonly ByteChange[]): Uint8Array {
  let bytes = Uint8Array.from(seed);
  for (const { how, at, from, length, value } of changes) {
    const place = Math.floor(at * bytes.length);
    const end = Math.min(bytes.length, place + length);
    if (how === "flip" && bytes.length > 0) {
      bytes[place] ^= 1 << (value & 7);
    } else if (how === "set") {
      bytes.fill(value, place, end);
    } else if (how === "cut") {
      bytes = bytes.slice(0, place);
    } else if (how === "drop") {
      bytes = joined(bytes.subarray(0, place), bytes.subarray(end));
    } else {
      const source = Math.floor(from * bytes.length);
      const piece =
        how === "copy" ? bytes.slice(source, source + length) : new Uint8Array(length).fill(value);
      bytes = joined(bytes.subarray(0, place), piece, bytes.subarray(place));
    }
  }
  return bytes;
}

function joined(...parts: readonly Uint8Array[]): Uint8Array<ArrayBuffer> {
  const whole = new Uint8Array(parts.reduce((sum, part) => sum + part.length, 0));
  let at = 0;
  for (const part of parts) {
    whole.set(part, at);
    at += part.length;
  }
  return whole;
}

/** One change of a JSON value at a place counted through all of it. */
interface ValueChange {
  readonly how: "replace" | "remove" | "add" | "repeat";
  readonly place: number;
  readonly name: string;
  readonly value: unknown;
}

const hostileNames = [
  "__proto__",
  "constructor",
  "toString",
  "length",
  "",
  "0",
  "<script>",
  "\u202e",
];

/** Values that a careless reader trips over. */
const hostile = fc.oneof(
  fc.constantFrom<unknown>(
    ...[null, true, 0, -1, 1.5, 1e308, -1e308, 5e-324, 2 ** 53, "", "NaN", "1e999", [], {}],
    ...["<img src=x onerror=alert(1)>", "a\u202egpj.exe", "\u0000\u001b[2J", "../../etc/passwd"],
    { polluted: true },
    [[[[[[[[]]]]]]]],
  ),
  fc.jsonValue({ maxDepth: 3 }),
  fc.integer(),
  fc.double(),
  fc.string({ maxLength: 40 }),
);

export const valueChanges: fc.Arbitrary<ValueChange[]> = fc.array(
  fc.record({
    how: fc.constantFrom("replace", "replace", "replace", "remove", "add", "repeat"),
    place: fc.nat(100_000),
    name: fc.constantFrom(...hostileNames),
    value: hostile,
  }),
  { minLength: 1, maxLength: 4 },
);

/** JSON text of the seed with its values changed. */
export function withValueChanges(seed: unknown, changes: readonly ValueChange[]): string {
  const root = { value: structuredClone(seed) };
  for (const { how, place, name, value } of changes) {
    const places = placesOf(root);
    if (places.length === 0) {
      return "";
    }
    const [parent, key] = places[place % places.length];
    const holder = parent as Record<string, unknown>;
    const present = holder[key];
    if (how === "replace") {
      holder[key] = value;
    } else if (how === "remove") {
      delete holder[key];
    } else if (how === "repeat" && Array.isArray(present)) {
      holder[key] = [...present, ...present, ...present];
    } else if (typeof present === "object" && present !== null) {
      if (!(Array.isArray(present) && name === "length")) {
        Object.defineProperty(present, name, {
          ...{ value, enumerable: true, configurable: true, writable: true },
        });
      }
    }
  }
  return JSON.stringify(root.value) ?? "";
}

function placesOf(root: object): [object, string][] {
  const places: [object, string][] = [];
  const open: unknown[] = [root];
  while (open.length > 0) {
    const item = open.pop();
    if (typeof item === "object" && item !== null) {
      for (const [key, value] of Object.entries(item)) {
        places.push([item, key]);
        open.push(value);
      }
    }
  }
  return places;
}
