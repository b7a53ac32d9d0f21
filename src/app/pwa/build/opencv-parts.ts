/**
 * OpenCV comes as one JavaScript file that holds its WebAssembly as a text of 11.7 MB. A browser keeps
 * the file, the text and the bytes made from it apart for every worker. Here the file is taken to
 * pieces: a script, and WebAssembly that is compiled while it arrives and that workers share.
 */

export interface OpenCvParts {
  readonly script: string;
  readonly wasm: Uint8Array<ArrayBuffer>;
}

const opening = "binaryDecode('\0asm";
const escapes: Readonly<Record<string, string>> = { n: "\n", r: "\r", "'": "'", "\\": "\\" };

/** Throws where the file is not made as expected; then the package has changed and this must, too. */
export function openCvParts(source: string): OpenCvParts {
  const call = source.indexOf(opening);
  if (call < 0) throw new Error("opencv.js: no WebAssembly in the script.");
  const start = call + opening.length - "\0asm".length;
  const end = endOfText(source, start);
  const text = source
    .slice(start, end)
    .replace(/\\(.)/gs, (_, letter: string) => escapes[letter] ?? unknownEscape(letter));
  const wasm = Uint8Array.from(text, byteOf);
  if (!WebAssembly.validate(wasm)) throw new Error("opencv.js: its WebAssembly could not be read.");
  return { script: `${source.slice(0, start)}${source.slice(end)}`, wasm };
}

/** Index of the quote that ends the text. */
function endOfText(source: string, start: number): number {
  for (let at = start; at < source.length; at++) {
    if (source[at] === "\\") at++;
    else if (source[at] === "'") return at;
  }
  throw new Error("opencv.js: its WebAssembly does not end.");
}

function byteOf(letter: string): number {
  const code = letter.charCodeAt(0);
  if (code > 255) throw new Error(`opencv.js: U+${code.toString(16)} is no byte.`);
  return code;
}

function unknownEscape(letter: string): never {
  throw new Error(`opencv.js: an escape that is not known, \\${letter}.`);
}
