import { type Remote, wrap } from "comlink";
import type { ThumbApi } from "./thumb-worker.ts";

/** So long after its last answer the worker is ended: it would keep up to 20 MB. It starts quickly. */
const restMs = 300;

let worker: Worker | null = null;
let remote: Remote<ThumbApi> | null = null;
let open = 0;
let resting: ReturnType<typeof setTimeout> | undefined;

function started(): Remote<ThumbApi> {
  worker ??= new Worker(new URL("./thumb-worker.ts", import.meta.url), { type: "module" });
  remote ??= wrap<ThumbApi>(worker);
  return remote;
}

async function ask<T>(question: (api: Remote<ThumbApi>) => Promise<T>): Promise<T> {
  clearTimeout(resting);
  open++;
  try {
    return await question(started());
  } finally {
    open--;
    if (open === 0) resting = setTimeout(end, restMs);
  }
}

function end(): void {
  worker?.terminate();
  worker = null;
  remote = null;
}

const asked: ThumbApi = {
  thumb: (blob, side) => ask((api) => api.thumb(blob, side)),
  stored: (blob) => ask((api) => api.stored(blob)),
  shown: (blob) => ask((api) => api.shown(blob)),
  fingerprint: (blob) => ask((api) => api.fingerprint(blob)),
  firstLook: (blob) => ask((api) => api.firstLook(blob)),
};

/** The one thumbnail worker, started at first use or by `warmUpThumbs`. */
export const thumbs = (): ThumbApi => asked;

/** Starts the worker ahead of the first photo. */
export function warmUpThumbs(): void {
  started();
}
