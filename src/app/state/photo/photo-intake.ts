/** What a file is, told from its first bytes: names and MIME types of phones are not reliable. */
export type FileKind = "jpeg" | "png" | "webp" | "heic" | "video" | "unknown";

/** Sniffs the kind of a file from its first 16 bytes. */
export function kindOfFile(head: Uint8Array): FileKind {
  const ascii = String.fromCharCode(...head.slice(0, 16));
  if (head[0] === 0xff && head[1] === 0xd8) {
    return "jpeg";
  }
  if (ascii.startsWith("\x89PNG")) {
    return "png";
  }
  if (ascii.startsWith("RIFF")) {
    return ascii.slice(8, 12) === "WEBP" ? "webp" : "video";
  }
  if (ascii.slice(4, 8) === "ftyp") {
    return /heic|heix|mif1|msf1|hevc|avif/.test(ascii.slice(8, 12)) ? "heic" : "video";
  }
  if (head[0] === 0x1a && head[1] === 0x45 && head[2] === 0xdf && head[3] === 0xa3) {
    return "video";
  }
  return "unknown";
}

export type RefusalCode =
  | "video"
  | "not an image"
  | "empty"
  | "same photo twice"
  /** The phone gives the file's name but not its bytes. */
  | "not readable"
  /** The device refused the write, or the job was closed before its turn came. */
  | "not stored";

export interface Refusal {
  readonly name: string;
  readonly code: RefusalCode;
}

/**
 * Decides whether a file can be added. The fingerprint finds the same photo under another name;
 * the same photo may serve before and after only if it was really taken again.
 */
export function refuse(
  file: { readonly name: string; readonly size: number },
  head: Uint8Array,
  fingerprint: string,
  present: { has(fingerprint: string): boolean },
): Refusal | null {
  if (file.size === 0) {
    return { name: file.name, code: "empty" };
  }
  const kind = kindOfFile(head);
  if (kind === "video") {
    return { name: file.name, code: "video" };
  }
  if (kind === "unknown") {
    return { name: file.name, code: "not an image" };
  }
  if (present.has(fingerprint)) {
    return { name: file.name, code: "same photo twice" };
  }
  return null;
}
