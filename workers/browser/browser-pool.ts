import * as Comlink from "comlink";
import { VisionPool, type WorkerHandle } from "../shared/pool.ts";
import type { ExamineTask, VisionApi } from "../shared/vision-api.ts";

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
  const api = Comlink.wrap<VisionApi>(worker);
  return {
    api: { warmUp: () => api.warmUp(), examine: (task) => api.examine(handedOver(task)) },
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

export const browserPool = (size = coresToUse()): VisionPool =>
  new VisionPool({ spawn: spawnWorker, size });
