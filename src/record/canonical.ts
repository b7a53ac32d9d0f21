/**
 * Canonical JSON (RFC 8785, JSON Canonicalization Scheme): one value has exactly one text, so that
 * two programs that agree on a record agree on its hash. Knows nothing of what the value means.
 */

export type Json = null | boolean | number | string | readonly Json[] | JsonObject;
export interface JsonObject {
  readonly [key: string]: Json;
}

/**
 * The canonical text of a value: members in the order of their names' UTF-16 code units, no spaces,
 * numbers as ECMAScript writes them (RFC 8785, 3.2.2.3). Members that are undefined are left out, as
 * JSON.stringify does. Throws TypeError on what JSON has no word for (NaN, infinity, functions, a
 * lone half of a surrogate pair), naming the place.
 */
export function canonicalText(value: unknown, place = "value"): string {
  switch (typeof value) {
    case "boolean":
      return String(value);
    case "number":
      if (!Number.isFinite(value))
        throw new TypeError(`${place} is ${value}: JSON has no such number`);
      return JSON.stringify(value);
    case "string":
      if (/\p{Surrogate}/u.test(value)) throw new TypeError(`${place} holds half a character`);
      return JSON.stringify(value);
    case "object":
      return value === null ? "null" : textOfObject(value, place);
    default:
      throw new TypeError(`${place} is of type ${typeof value}: JSON has no such value`);
  }
}

function textOfObject(value: object, place: string): string {
  if (Array.isArray(value)) {
    return `[${value.map((item, i) => canonicalText(item ?? null, `${place}.${i}`)).join(",")}]`;
  }
  // Typed arrays and dates would silently lose what they are.
  if (Object.getPrototypeOf(value) !== Object.prototype && Object.getPrototypeOf(value) !== null) {
    throw new TypeError(`${place} is no plain object`);
  }
  const members = Object.entries(value)
    .filter(([, item]) => item !== undefined)
    .sort(([a], [b]) => (a < b ? -1 : a > b ? 1 : 0))
    .map(([key, item]) => `${canonicalText(key, place)}:${canonicalText(item, `${place}.${key}`)}`);
  return `{${members.join(",")}}`;
}

/** UTF-8 bytes of the canonical text. */
export const canonicalBytes = (value: unknown): Uint8Array<ArrayBuffer> =>
  new TextEncoder().encode(canonicalText(value)) as Uint8Array<ArrayBuffer>;

/** A copy that holds only what canonical JSON holds; throws as {@link canonicalText} does. */
export const plainCopy = <T>(value: T): T => JSON.parse(canonicalText(value)) as T;
