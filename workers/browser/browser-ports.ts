import * as Comlink from "comlink";
import type { AcceptanceAnswer, AcceptanceInput } from "../../src/acceptance/acceptance.ts";
import type { Guidance } from "../../src/calibrate/guidance/guidance.ts";
import type { PhotoOutcome } from "../../src/detect/findings/findings.ts";
import type { JobPorts } from "../../src/job/run/run.ts";
import type { TeachAnswer, TeachInput } from "../../src/job/teach/teach-target.ts";
import type { PlanAnswer } from "../../src/plan/plan-types.ts";
import type { PlanInput } from "../../src/plan/task.ts";
import { Solver, type SolverHandle } from "../shared/solver.ts";
import type { SolverApi } from "../shared/solver-api.ts";
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
const solverRestMs = 20_000;
/** A plan is asked for once in a while and starts quickly. */
const plannerRestMs = 500;

/** Vision and solver workers of the browser, as the ports of a job. Close when done. */
export const browserPorts = (): {
  ports: JobPorts;
  /** As `ports.examine`, for photos whose bytes can be read again. */
  examine(task: ExamineTask, signal?: AbortSignal): Promise<PhotoOutcome>;
  /** Which sheet photo to take next; after what the solver has been asked before. */
  guide(outcomes: readonly PhotoOutcome[]): Promise<Guidance>;
  /** Where a target is against its stand boards, from photos with pointer boards. */
  teach(input: TeachInput): Promise<TeachAnswer>;
  /** Which photos to take; in a worker of its own, so that no verdict waits for a plan. */
  plan(input: PlanInput, signal?: AbortSignal): Promise<PlanAnswer>;
  /** An acceptance test worked out. */
  accept(input: AcceptanceInput): Promise<AcceptanceAnswer>;
  /** Loads the vision code in every worker; rejects with the reason when it cannot. */
  warmUp(): Promise<void>;
  close(): void;
} => {
  const pool = browserPool();
  const solver = new Solver(spawnSolver, solverRestMs);
  solver.start();
  const planner = new Solver(spawnSolver, plannerRestMs);
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
    examine: (task, signal) => pool.examine(task, signal),
    guide: (outcomes) => solver.ask((api) => api.guide(outcomes)),
    teach: (input) => solver.ask((api) => api.teach(input)),
    plan: (input, signal) => planner.ask((api) => api.plan(input), signal),
    accept: (input) => solver.ask((api) => api.accept(input)),
    warmUp: async () => {
      solver.ask((api) => api.warmUp()).catch(() => undefined);
      await pool.warmUp();
    },
    close: () => {
      pool.close();
      solver.close();
      planner.close();
    },
  };
};
