/**
 * JSON that somebody brought: bounds on its size and depth before it is parsed, so that no file can
 * exhaust memory or the stack of what reads it next, and no names that reach into an object's
 * prototype. What the values mean is for the schemas to say.
 */
export const jsonLimits = {
  /** Characters; a job with 500 photos takes less than one million. */
  characters: 32_000_000,
  /** Lists and objects inside each other; our own files need less than twelve. */
  depth: 64,
} as const;

export type JsonProblem = "too large" | "too deep" | "not JSON" | "forbidden name";

/** Each problem as the end of a sentence that begins with the file's name. */
export const jsonProblems: Readonly<Record<JsonProblem, string>> = {
  "too large": "is larger than any file of this kind",
  "too deep": "holds lists within lists deeper than any file of this kind",
  "not JSON": "is not valid JSON",
  "forbidden name": 'holds a field named "__proto__", "constructor" or "prototype"',
};

export type JsonReading =
  | { readonly ok: true; readonly value: unknown }
  | {
      readonly ok: false;
      readonly problem: JsonProblem;
      /** Where the text stops being JSON, in the parser's words; empty for other problems. */
      readonly reason: string;
    };

/** Parses a text as JSON within {@link jsonLimits}; never throws. */
export function readJson(text: string): JsonReading {
  if (text.length > jsonLimits.characters) {
    return { ok: false, problem: "too large", reason: "" };
  }
  if (depthOf(text) > jsonLimits.depth) {
    return { ok: false, problem: "too deep", reason: "" };
  }
  let value: unknown;
  try {
    value = JSON.parse(text);
  } catch (error) {
    return { ok: false, problem: "not JSON", reason: (error as Error).message };
  }
  return hasForbiddenName(value)
    ? { ok: false, problem: "forbidden name", reason: "" }
    : { ok: true, value };
}

/** How many brackets are open at most, those inside texts left out. */
function depthOf(text: string): number {
  let depth = 0;
  let deepest = 0;
  let inText = false;
  for (let at = 0; at < text.length; at++) {
    const c = text.charCodeAt(at);
    if (inText) {
      if (c === backslash) {
        at++;
      } else if (c === quote) {
        inText = false;
      }
    } else if (c === quote) {
      inText = true;
    } else if (c === openBrace || c === openBracket) {
      deepest = Math.max(deepest, ++depth);
    } else if (c === closeBrace || c === closeBracket) {
      depth--;
    }
  }
  return deepest;
}

const [quote, backslash] = [0x22, 0x5c];
const [openBrace, closeBrace, openBracket, closeBracket] = [0x7b, 0x7d, 0x5b, 0x5d];

/** Names that no file of ours has, and that could reach a prototype when an object is copied. */
const forbidden = ["__proto__", "constructor", "prototype"];

function hasForbiddenName(value: unknown): boolean {
  const open: unknown[] = [value];
  while (open.length > 0) {
    const item = open.pop();
    if (typeof item !== "object" || item === null) {
      continue;
    }
    if (forbidden.some((name) => Object.hasOwn(item, name))) {
      return true;
    }
    for (const part of Object.values(item)) {
      open.push(part);
    }
  }
  return false;
}
