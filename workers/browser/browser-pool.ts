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
      warmUp: () => ready.then(() => api.warmUp()),
      examine: async (task) => {
        await ready;
        return api.examine(handedOver(task));
      },
    },
    died,
    terminate: () => {
      api[Comlink.releaseProxy]();
      worker.terminate();
    },
  };
};

/** Photos of 12 megapixels take some 100 MB each while they are examined: two or three at once. */
const coresToUse = (): number => {
  const cores = navigator.hardwareConcurrency ?? 2;
  return cores <= 2 ? cores : Math.min(3, cores - 1);
};

/** Sheet photos and bay photos of one choice, and a slow disk between two photos, are no end. */
const restMs = 1500;

export const browserPool = (size = coresToUse()): VisionPool =>
  new VisionPool({ spawn: spawnWorker, size, restMs });
