import * as Comlink from "comlink";
import { shareLibrary } from "./browser-library.ts";
import type { StreamFrame } from "./frame-luma.ts";
import type { BrowserVision } from "./vision-worker-browser.ts";

export type { StreamFrame };

/** A vision worker of its own for a stream; starts to load and to practise at once. */
export function streamVision() {
  const worker = new Worker(new URL("./vision-worker-browser.ts", import.meta.url), {
    type: "module",
  });
  const failed = new Promise<never>((_, reject) => {
    worker.addEventListener("error", (event) => {
      reject(new Error(event.message || "The vision worker stopped."));
    });
  });
  failed.catch(() => undefined);
  const api = Comlink.wrap<BrowserVision>(worker);
  const died = failed.catch((error: Error) => error.message);
  const ready = Promise.race([shareLibrary(api, died), failed]);
  ready.then(() => api.warmUp("boards")).catch(() => undefined);
  const given = (frame: StreamFrame) => Comlink.transfer(frame, [frame as unknown as Transferable]);
  return {
    seeFrame: async (frame: StreamFrame) => {
      await ready;
      return Promise.race([api.seeFrame(given(frame)), failed]);
    },
    measureFrame: async (frame: StreamFrame) => {
      await ready;
      return Promise.race([api.measureFrame(given(frame)), failed]);
    },
    close: () => worker.terminate(),
  };
}
export type StreamVisionWorker = ReturnType<typeof streamVision>;
