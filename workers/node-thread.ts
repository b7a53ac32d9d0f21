import { Worker } from "node:worker_threads";

/** Starts a worker thread on a TypeScript module of this folder. */
export const startThread = (module: string): Worker =>
  new Worker(new URL("./node-thread.mjs", import.meta.url), {
    workerData: { module },
    execArgv: [],
  });
