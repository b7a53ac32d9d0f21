import * as Comlink from "comlink";
import { VisionPool, type WorkerHandle } from "../shared/pool.ts";
import type { ExamineTask } from "../shared/vision-api.ts";
import { shareLibrary } from "./browser-library.ts";
import type { BrowserVision } from "./vision-worker-browser.ts";

const handedOver = ({ again, ...task }: ExamineTask): ExamineTask =>
  again ? Comlink.transfer(task, [task.bytes.buffer as ArrayBuffer]) : task;

const spawnWorker = (): WorkerHandle => {
  const worker = new Worker(new URL("./vision-worker-browser.ts", import.meta.url), {
    type: "module",
  });
  const died = new Promise<string>((resolve) => {
    worker.addEventListener("error", (event) => resolve(event.message || "the worker stopped"));
    worker.addEventListener("messageerror", () => resolve("a message could not be read"));
  });
  const api = Comlink.wrap<BrowserVision>(worker);
  const ready = shareLibrary(api, died);
  return {
    api: {
      warmUp: (next) => ready.then(() => api.warmUp(next)),
      examine: async (task) => {
        await ready;
        return api.examine(handedOver(task));
      },
    },
    died,
    expect: () => {
      void ready.then(() => api.expect()).catch(() => undefined);
    },
    rest: () => {
      void ready.then(() => api.rest()).catch(() => undefined);
    },
    terminate: () => {
      api[Comlink.releaseProxy]();
      worker.terminate();
    },
  };
};

/**
 * Photos examined at once. A worker takes some 60 MB while it has a photo of 12 megapixels, so memory
 * decides as well as processors: `deviceMemory` (W3C Device Memory, GB) where the browser tells it. A
 * touch device that does not tell may be an iPhone, which closes large pages.
 */
export function photosAtOnce({
  hardwareConcurrency: cores = 2,
  deviceMemory,
  maxTouchPoints = 0,
}: {
  readonly hardwareConcurrency?: number;
  readonly deviceMemory?: number;
  readonly maxTouchPoints?: number;
}): number {
  const memory = deviceMemory ?? (maxTouchPoints > 0 ? 4 : 8);
  const most = memory <= 2 ? 1 : memory <= 4 ? 2 : 3;
  return Math.min(most, cores <= 2 ? cores : cores - 1);
}

/** Sheet photos and bay photos of one choice, and a slow disk between two photos, are no end. */
const restMs = 1500;

export const browserPool = (size = photosAtOnce(navigator)): VisionPool =>
  new VisionPool({ spawn: spawnWorker, size, restMs });
