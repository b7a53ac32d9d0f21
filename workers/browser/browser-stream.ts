import * as Comlink from "comlink";
import type { StreamFrame } from "./frame-luma.ts";
import type { FrameVision } from "./vision-worker-browser.ts";

export type { StreamFrame };

/** A vision worker of its own for a stream. */
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
  const api = Comlink.wrap<FrameVision>(worker);
  const given = (frame: StreamFrame) => Comlink.transfer(frame, [frame as unknown as Transferable]);
  return {
    seeFrame: (frame: StreamFrame) => Promise.race([api.seeFrame(given(frame)), failed]),
    measureFrame: (frame: StreamFrame) => Promise.race([api.measureFrame(given(frame)), failed]),
    close: () => worker.terminate(),
  };
}
export type StreamVisionWorker = ReturnType<typeof streamVision>;
