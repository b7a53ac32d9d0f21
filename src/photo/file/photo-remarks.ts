/** What is said about photos that cannot be decoded. */
import type { Remark } from "./codes.ts";

const smaller = "Choose a smaller picture size in the phone's camera, 12 megapixels is plenty.";
const takeOriginal = "Copy the photo from the phone again, or take it again.";

/** For the frame types (SOF markers) that are not decoded. */
export function unsupportedFrame(code: number): Remark {
  if (code === 0xc3) return unsupported("lossless JPEG");
  return unsupported(code >= 0xc9 ? "arithmetic coding" : "hierarchical JPEG");
}

export function damagedAt(rows: string): Remark {
  return {
    code: "jpeg-damaged",
    severity: "error",
    message: `The photo's data is damaged: it can be read up to ${rows}.`,
    remedy: takeOriginal,
  };
}

export function damaged(segment: string): Remark {
  return {
    code: "jpeg-damaged",
    severity: "error",
    message: `The photo's data is damaged (JPEG segment ${segment}).`,
    remedy: takeOriginal,
  };
}

export function unsupported(what: string): Remark {
  return {
    code: "jpeg-unsupported",
    severity: "error",
    message: `This is a kind of JPEG that cannot be measured: ${what}.`,
    remedy: "Use the photo as the phone's camera wrote it, or save it as an ordinary JPEG.",
  };
}

export function printColours(): Remark {
  return {
    code: "jpeg-colour",
    severity: "error",
    message: "This JPEG has print colours (CMYK); no camera writes these, so it was edited.",
    remedy: "Use the photo as the phone's camera wrote it.",
  };
}

export function endsEarlyRemark(detail: string): Remark {
  return {
    code: "jpeg-ends-early",
    severity: "error",
    message: `The file ends early: ${detail}.`,
    remedy: takeOriginal,
  };
}

/** A picture with more pixels than `limit`; `kind` like "a photo". */
export function tooManyPixels(width: number, height: number, kind: string, limit: number): Remark {
  return {
    code: "photo-too-large",
    severity: "error",
    message: `${width} x ${height} px is more than ${kind} may have here (${limit / 1e6} megapixels).`,
    remedy: smaller,
  };
}

export function tooManyBytes(length: number, limit: number): Remark {
  return {
    code: "photo-too-large",
    severity: "error",
    message: `The file has ${Math.round(length / 1e6)} MB; at most ${limit / 1e6} MB are read.`,
    remedy: smaller,
  };
}

/** An HEIC whose boxes or picture data cannot be read; `what` as the decoder says it. */
export function damagedHeic(what: string): Remark {
  return {
    code: "heic-damaged",
    values: { what },
    severity: "error",
    message: `The HEIC photo's data is damaged or ends early (${what}).`,
    remedy: takeOriginal,
  };
}

export function unsupportedHeic(): Remark {
  return {
    code: "heic-unsupported",
    severity: "error",
    message: "This is a kind of HEIC that cannot be measured: it has no plane of grey values.",
    remedy: "Use the photo as the phone's camera wrote it, or save it as an ordinary JPEG.",
  };
}

/** A burst, or an edited photo kept beside its original. */
export function severalPictures(count: number, name: string): Remark {
  return {
    code: "heic-several-pictures",
    values: { count },
    severity: "info",
    message: `This file holds ${count} pictures. The one that it names as the main one is used.`,
    remedy: "If another one was meant, save that one alone on the phone and add it.",
    about: name,
  };
}
