import * as Comlink from "comlink";
import type { AcceptanceAnswer, AcceptanceInput } from "../../src/acceptance/acceptance.ts";
import type { Guidance } from "../../src/calibrate/guidance/guidance.ts";
import type { PhotoOutcome } from "../../src/detect/findings/findings.ts";
import type { JobPorts } from "../../src/job/run/run.ts";
import type { TeachAnswer, TeachInput } from "../../src/job/teach/teach-target.ts";
import type { PlanAnswer } from "../../src/plan/plan-types.ts";
import type { PlanInput } from "../../src/plan/task.ts";
import type { SolverHandle } from "../shared/solver.ts";
import type { SolverApi } from "../shared/solver-api.ts";
import { SolverDesk } from "../shared/solver-desk.ts";
import type { ExamineTask } from "../shared/vision-api.ts";
import { browserPool } from "./browser-pool.ts";

const spawnSolver = (): SolverHandle => {
  const worker = new Worker(new URL("./solver-worker-browser.ts", import.meta.url), {
    type: "module",
  });
  const died = new Promise<string>((resolve) => {
    worker.addEventListener("error", (event) => resolve(event.message || "unknown reason"));
    worker.addEventListener("messageerror", () => resolve("a message could not be read"));
  });
  const api = Comlink.wrap<SolverApi>(worker) as unknown as SolverApi;
  return { api, died, terminate: () => worker.terminate() };
};

/** Photos taken one after the other find a warm solver. */
const solverMs = 20_000;
/** A plan is asked for once in a while and starts quickly. */
const plannerMs = 500;

/** Vision and solver workers of the browser, as the ports of a job. Close when done. */
export const browserPorts = (): {
  ports: JobPorts;
  /** As `ports.examine`, for photos whose bytes can be read again. */
  examine(task: ExamineTask, signal?: AbortSignal): Promise<PhotoOutcome>;
  /** Which sheet photo to take next; after what the solver has been asked before. */
  guide(outcomes: readonly PhotoOutcome[]): Promise<Guidance>;
  /** Where a target is against its stand boards, from photos with pointer boards. */
  teach(input: TeachInput): Promise<TeachAnswer>;
  /** Which photos to take; no verdict waits for it. */
  plan(input: PlanInput, signal?: AbortSignal): Promise<PlanAnswer>;
  /** An acceptance test worked out. */
  accept(input: AcceptanceInput): Promise<AcceptanceAnswer>;
  /** Photos were chosen: workers stop practising. */
  expect(): void;
  /** Loads the vision code in every worker; rejects with the reason when it cannot. */
  warmUp(next: ExamineTask["what"]): Promise<void>;
  close(): void;
} => {
  const pool = browserPool();
  const desk = new SolverDesk(spawnSolver, { solverMs, plannerMs });
  desk.start();
  const today = (): string => new Date().toISOString();
  return {
    ports: {
      examine: (task, signal) => pool.examine(task, signal),
      calibrate: (outcomes, signal) => {
        // Photos that wait for the lens come next.
        const release = pool.stay();
        return desk.ask((api) => api.calibrate(outcomes, today()), signal).finally(release);
      },
      solve: (input, signal) => {
        // All photos are done: the solver needs processor and memory now.
        pool.restNow();
        return desk.ask((api) => api.solve(input), signal);
      },
      clock: () => performance.now(),
      today,
    },
    examine: (task, signal) => pool.examine(task, signal),
    guide: (outcomes) => desk.ask((api) => api.guide(outcomes)),
    teach: (input) => desk.ask((api) => api.teach(input)),
    plan: (input, signal) => desk.plan((api) => api.plan(input), signal),
    accept: (input) => desk.ask((api) => api.accept(input)),
    expect: () => pool.expect(),
    warmUp: async (next) => {
      desk.ask((api) => api.warmUp()).catch(() => undefined);
      await pool.warmUp(next);
    },
    close: () => {
      pool.close();
      desk.close();
    },
  };
};
