import { Solver, type SolverHandle } from "./solver.ts";
import type { SolverApi } from "./solver-api.ts";

/**
 * Who computes what. Verdicts have a solver of their own, so that none waits for a plan. A plan is
 * asked for when the verdict stands: where that solver then has nothing to do, its warm worker makes
 * the plan, and no second one with code and heap of its own lies beside it. A verdict that is asked for
 * meanwhile gets a new worker, which is the solver from then on.
 */
export class SolverDesk {
  private solver: Solver;
  private planner: Solver;

  constructor(
    spawn: () => SolverHandle,
    private readonly rests: { readonly solverMs: number; readonly plannerMs: number },
  ) {
    this.solver = new Solver(spawn, rests.solverMs);
    this.planner = new Solver(spawn, rests.plannerMs);
  }

  /** Starts the solver ahead of the first question. */
  start(): void {
    this.solver.start();
  }

  ask<T>(question: (api: SolverApi) => Promise<T>, signal?: AbortSignal): Promise<T> {
    return this.solver.ask(question, signal);
  }

  async plan<T>(question: (api: SolverApi) => Promise<T>, signal?: AbortSignal): Promise<T> {
    if (this.solver.isIdle && this.planner.isIdle && !this.planner.isRunning) this.swap();
    try {
      return await this.planner.ask(question, signal);
    } finally {
      if (this.planner.isIdle && !this.solver.isRunning) this.swap();
    }
  }

  close(): void {
    this.solver.close();
    this.planner.close();
  }

  private swap(): void {
    [this.solver, this.planner] = [this.planner, this.solver];
    this.solver.restMs = this.rests.solverMs;
    this.planner.restMs = this.rests.plannerMs;
    this.solver.rest();
    this.planner.rest();
  }
}
