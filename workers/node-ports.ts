import * as Comlink from "comlink";
import nodeEndpoint from "comlink/dist/esm/node-adapter.mjs";
import type { CameraAnswer, JobPorts, SolveAnswer } from "../src/job/run.ts";
import { nodePool } from "./node-pool.ts";
import { startThread } from "./node-thread.ts";
import type { SolverApi } from "./solver-api.ts";

const solverThread = () => {
  const worker = startThread("./solver-worker-node.ts");
  const died = new Promise<never>((_, reject) => {
    worker.once("error", reject);
    worker.once("exit", (code) => reject(new Error(`the solver thread ended with code ${code}`)));
  });
  died.catch(() => undefined);
  const api = Comlink.wrap<SolverApi>(nodeEndpoint(worker));
  return {
    run: <T>(work: (api: Comlink.Remote<SolverApi>) => Promise<T>): Promise<T> =>
      Promise.race([work(api), died]),
    close: () => void worker.terminate(),
  };
};

/** Vision and solver workers on worker_threads, as the ports of a job. Close when done. */
export const nodePorts = (): { ports: JobPorts; close(): void } => {
  const pool = nodePool();
  const solver = solverThread();
  const today = (): string => new Date().toISOString();
  return {
    ports: {
      examine: (task, signal) => pool.examine(task, signal),
      calibrate: (outcomes) => solver.run<CameraAnswer>((api) => api.calibrate(outcomes, today())),
      solve: (input) => solver.run<SolveAnswer>((api) => api.solve(input)),
      clock: () => performance.now(),
      today,
    },
    close: () => {
      pool.close();
      solver.close();
    },
  };
};
