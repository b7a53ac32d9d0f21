import { type Remote, wrap } from "comlink";
import type { ThumbApi } from "./thumb-worker.ts";

let remote: Remote<ThumbApi> | null = null;

/** The one thumbnail worker, started at first use. */
export function thumbs(): Remote<ThumbApi> {
  remote ??= wrap<ThumbApi>(
    new Worker(new URL("./thumb-worker.ts", import.meta.url), { type: "module" }),
  );
  return remote;
}
