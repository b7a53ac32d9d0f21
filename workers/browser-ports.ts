import * as Comlink from "comlink";
import type { JobPorts } from "../src/job/run.ts";
import { browserPool } from "./browser-pool.ts";
import type { SolverApi } from "./solver-api.ts";

/** Vision and solver workers of the browser, as the ports of a job. Close when done. */
export const browserPorts = (): {
  ports: JobPorts;
  /** Loads the vision code in every worker; rejects with the reason when it cannot. */
  warmUp(): Promise<void>;
  close(): void;
} => {
  const pool = browserPool();
  const worker = new Worker(new URL("./solver-worker-browser.ts", import.meta.url), {
    type: "module",
  });
  const died = new Promise<never>((_, reject) => {
    worker.addEventListener("error", (event) =>
      reject(new Error(`The solver stopped: ${event.message || "unknown reason"}`)),
    );
  });
  died.catch(() => undefined);
  const api = Comlink.wrap<SolverApi>(worker);
  const today = (): string => new Date().toISOString();
  return {
    ports: {
      examine: (task, signal) => pool.examine(task, signal),
      calibrate: (outcomes) =>
        Promise.race([api.calibrate(outcomes, today()), died]) as ReturnType<JobPorts["calibrate"]>,
      solve: (input) => Promise.race([api.solve(input), died]) as ReturnType<JobPorts["solve"]>,
      clock: () => performance.now(),
      today,
    },
    warmUp: () => pool.warmUp(),
    close: () => {
      pool.close();
      worker.terminate();
    },
  };
};
