import { Worker } from "node:worker_threads";

/** Starts a worker thread on a TypeScript module of this folder. */
export const startThread = (module: string): Worker =>
  new Worker(new URL("./node-thread.mjs", import.meta.url), {
    workerData: { module },
    execArgv: [],
  });

/** Resolves with a reason when the thread ends, of itself or not; never rejects. */
export const threadDeath = (worker: Worker): Promise<string> =>
  new Promise((resolve) => {
    worker.once("error", (error) => resolve(error instanceof Error ? error.message : `${error}`));
    worker.once("exit", (code) => resolve(`the thread ended with code ${code}`));
  });
