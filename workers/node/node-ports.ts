import * as Comlink from "comlink";
import nodeEndpoint from "comlink/dist/esm/node-adapter.mjs";
import type { JobPorts } from "../../src/job/run/run.ts";
import { Solver, type SolverHandle } from "../shared/solver.ts";
import type { SolverApi } from "../shared/solver-api.ts";
import { nodePool } from "./node-pool.ts";
import { startThread, threadDeath } from "./node-thread.ts";

const spawnSolver = (): SolverHandle => {
  const worker = startThread("./solver-worker-node.ts");
  const api = Comlink.wrap<SolverApi>(nodeEndpoint(worker)) as unknown as SolverApi;
  return { api, died: threadDeath(worker), terminate: () => void worker.terminate() };
};

/** Vision and solver workers on worker_threads, as the ports of a job. Close when done. */
export const nodePorts = (): { ports: JobPorts; close(): void } => {
  const pool = nodePool();
  const solver = new Solver(spawnSolver);
  solver.start();
  const today = (): string => new Date().toISOString();
  return {
    ports: {
      examine: (task, signal) => pool.examine(task, signal),
      calibrate: (outcomes, signal) =>
        solver.ask((api) => api.calibrate(outcomes, today()), signal),
      solve: (input, signal) => solver.ask((api) => api.solve(input), signal),
      clock: () => performance.now(),
      today,
    },
    close: () => {
      pool.close();
      solver.close();
    },
  };
};
