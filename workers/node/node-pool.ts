import { availableParallelism } from "node:os";
import * as Comlink from "comlink";
import nodeEndpoint from "comlink/dist/esm/node-adapter.mjs";
import { VisionPool, type WorkerHandle } from "../shared/pool.ts";
import type { VisionApi } from "../shared/vision-api.ts";
import { startThread, threadDeath } from "./node-thread.ts";

const spawnThread = (): WorkerHandle => {
  const worker = startThread("./vision-worker-node.ts");
  const api = Comlink.wrap<VisionApi>(nodeEndpoint(worker));
  return {
    api: { warmUp: (next) => api.warmUp(next), examine: (task) => api.examine(task) },
    died: threadDeath(worker),
    terminate: () => void worker.terminate(),
  };
};

/** Vision workers on worker_threads, one per core, at most four. */
export const nodePool = (size = Math.min(4, availableParallelism())): VisionPool =>
  new VisionPool({ spawn: spawnThread, size });
