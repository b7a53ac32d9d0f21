/**
 * Worker of the decoder's browser test: decodes a photo as the app does, and for comparison takes
 * the luma plane that the browser's own ImageDecoder hands over.
 */

import type { Remark } from "../../src/job/result/remark-codes.ts";
import { decodeJpeg } from "../../src/photo/jpeg/jpeg.ts";
import { decodePhotoInBrowser } from "../../workers/browser/decode-browser.ts";

export interface ProbeTask {
  readonly url: string;
  readonly rounds: number;
}

export interface ProbeAnswer {
  readonly ok: boolean;
  readonly code: string;
  readonly remarks: readonly string[];
  readonly orientation: number | null;
  readonly width: number;
  readonly height: number;
  readonly sha256: string;
  /** Against ImageDecoder's luma plane; null where it gave none. */
  readonly equalShare: number | null;
  readonly worst: number | null;
  readonly ms: { readonly ours: number; readonly plain: number; readonly webCodecs: number };
}

async function sha256(data: Uint8Array): Promise<string> {
  const digest = await crypto.subtle.digest("SHA-256", data as Uint8Array<ArrayBuffer>);
  return [...new Uint8Array(digest)].map((byte) => byte.toString(16).padStart(2, "0")).join("");
}

/** The Y plane of the browser's own decoder, sensor orientation; null where it gives no planes. */
async function webCodecsLuma(bytes: Uint8Array): Promise<Uint8Array | null> {
  const data = bytes as Uint8Array<ArrayBuffer>;
  try {
    const decoder = new ImageDecoder({ data, type: "image/jpeg", colorSpaceConversion: "none" });
    const { image } = await decoder.decode();
    const { codedWidth: width, codedHeight: height } = image;
    const planar = image.format?.startsWith("I4");
    const rect = { x: 0, y: 0, width, height };
    const planes = new Uint8Array(planar ? image.allocationSize({ rect }) : 0);
    if (planar) await image.copyTo(planes, { rect });
    image.close();
    decoder.close();
    return planar ? planes.subarray(0, width * height) : null;
  } catch {
    return null;
  }
}

async function fastest(rounds: number, work: () => unknown): Promise<number> {
  let best = Number.POSITIVE_INFINITY;
  for (let i = 0; i < rounds; i++) {
    const start = performance.now();
    await work();
    best = Math.min(best, performance.now() - start);
  }
  return Math.round(best * 10) / 10;
}

function compare(ours: Uint8Array, theirs: Uint8Array | null): [number | null, number | null] {
  if (!theirs || theirs.length !== ours.length) return [null, null];
  let equal = 0;
  let worst = 0;
  for (let i = 0; i < ours.length; i++) {
    if (ours[i] === theirs[i]) equal++;
    else worst = Math.max(worst, Math.abs(ours[i] - theirs[i]));
  }
  return [equal / ours.length, worst];
}

self.onmessage = async (event: MessageEvent<ProbeTask>) => {
  const { url, rounds } = event.data;
  const bytes = new Uint8Array(await (await fetch(url)).arrayBuffer());
  const photo = await decodePhotoInBrowser(bytes, url);
  const luma = photo.ok ? photo.luma : { width: 0, height: 0, data: new Uint8Array(0) };
  const [equalShare, worst] = compare(luma.data, await webCodecsLuma(bytes));
  const remarks: readonly Remark[] = photo.ok ? photo.remarks : [photo.remark];
  const answer: ProbeAnswer = {
    ok: photo.ok,
    code: photo.ok ? "" : photo.remark.code,
    remarks: remarks.map((remark) => remark.code),
    orientation: photo.ok ? (photo.exif?.orientation ?? null) : null,
    width: luma.width,
    height: luma.height,
    sha256: await sha256(luma.data),
    equalShare,
    worst,
    ms: {
      ours: await fastest(rounds, () => decodePhotoInBrowser(bytes, url)),
      plain: await fastest(rounds, () => decodeJpeg(bytes, { wasm: false })),
      webCodecs: await fastest(rounds, () => webCodecsLuma(bytes)),
    },
  };
  self.postMessage(answer);
};
