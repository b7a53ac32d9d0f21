import * as Comlink from "comlink";
import type { PhotoOutcome } from "../src/detection/findings.ts";
import type { JobPorts } from "../src/job/run.ts";
import type { TeachAnswer, TeachInput } from "../src/job/teach-target.ts";
import type { Guidance } from "../src/network/camera-step/guidance.ts";
import { browserPool } from "./browser-pool.ts";
import type { SolverApi } from "./solver-api.ts";
import type { ExamineTask } from "./vision-api.ts";

/** Vision and solver workers of the browser, as the ports of a job. Close when done. */
export const browserPorts = (): {
  ports: JobPorts;
  /** As `ports.examine`, for photos whose bytes can be read again. */
  examine(task: ExamineTask, signal?: AbortSignal): Promise<PhotoOutcome>;
  /** Which sheet photo to take next; after what the solver has been asked before. */
  guide(outcomes: readonly PhotoOutcome[]): Promise<Guidance>;
  /** Where a target is against its stand boards, from photos with pointer boards. */
  teach(input: TeachInput): Promise<TeachAnswer>;
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
    examine: (task, signal) => pool.examine(task, signal),
    guide: (outcomes) => Promise.race([api.guide(outcomes), died]) as Promise<Guidance>,
    teach: (input) => Promise.race([api.teach(input), died]) as Promise<TeachAnswer>,
    warmUp: async () => {
      api.practise().catch(() => undefined);
      await pool.warmUp();
    },
    close: () => {
      pool.close();
      worker.terminate();
    },
  };
};
