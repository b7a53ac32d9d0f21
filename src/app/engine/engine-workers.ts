import { createStore } from "zustand/vanilla";
import type { browserPorts } from "../../../workers/browser/browser-ports.ts";
import { giveBack } from "../../../workers/browser/give-back.ts";
import type { Engine, ExamineRequest } from "./engine.ts";

type Ports = ReturnType<typeof browserPorts>;

let started: Promise<Ports> | null = null;

/** Workers are started at the first photo, not with the page; after a failure, at the next one. */
function ports(): Promise<Ports> {
  started ??= import("../../../workers/browser/browser-ports.ts")
    .then((module) => module.browserPorts())
    .catch((error) => {
      started = null;
      throw error;
    });
  return started;
}

/**
 * Fetches the vision code once with progress, so that it lies in the browser's cache (and in the
 * offline cache) before several workers ask for it at the same moment.
 */
async function fetchVisionCode(onProgress: (share: number) => void): Promise<void> {
  const response = await fetch(new URL(`assets/${__OPENCV_WASM__}`, document.baseURI));
  const total = Number(response.headers.get("Content-Length")) || 11_700_000;
  const reader = response.body?.getReader();
  let arrived = 0;
  while (reader) {
    const { done, value } = await reader.read();
    if (done) {
      break;
    }
    arrived += value.byteLength;
    giveBack(value);
    onProgress(Math.min(0.99, arrived / total));
  }
}

/** Share of the vision code that has arrived. */
const share = createStore<number>(() => 0);
let ready: Promise<void> | null = null;

/** Once for all jobs; after a failure the next call tries again. */
function prepareOnce(next: ExamineRequest["what"]): Promise<void> {
  ready ??= (async () => {
    await fetchVisionCode((arrived) => share.setState(arrived));
    await (await ports()).warmUp(next);
    share.setState(1);
  })().catch((error) => {
    ready = null;
    throw error;
  });
  return ready;
}

/** The measuring engine in workers. */
export const workerEngine: Engine = {
  // One more than there are workers: the next photo lies ready while findings are being written.
  parallel: 1 + Math.max(1, Math.min(3, navigator.hardwareConcurrency || 2)),
  version: __APP_VERSION__,
  async prepare(onProgress, next = "boards") {
    const stop = share.subscribe(onProgress);
    onProgress(share.getState());
    try {
      await prepareOnce(next);
    } finally {
      stop();
    }
    onProgress(1);
  },
  expect() {
    started?.then((running) => running.expect()).catch(() => undefined);
  },
  async examine({ blob, ...task }, signal) {
    const again = async () => new Uint8Array(await blob.arrayBuffer());
    const bytes = await again();
    return (await ports()).examine({ ...task, bytes, again }, signal);
  },
  async calibrate(outcomes, signal) {
    return (await ports()).ports.calibrate(outcomes, signal);
  },
  async guide(outcomes) {
    return (await ports()).guide(outcomes);
  },
  async solve(input, signal) {
    return (await ports()).ports.solve(input, signal);
  },
  async plan(input, signal) {
    return (await ports()).plan(input, signal);
  },
  async teach(input) {
    return (await ports()).teach(input);
  },
  async accept(input) {
    return (await ports()).accept(input);
  },
};
