import type { SolverApi } from "./solver-api.ts";

/** A running solver worker, whatever the platform. */
export interface SolverHandle {
  readonly api: SolverApi;
  /** Resolves with a reason when the worker dies by itself; never rejects. */
  readonly died: Promise<string>;
  terminate(): void;
}

/**
 * Owner of the one solver worker. It starts with the first question (or `start`); one that dies
 * fails the questions that it had, and the next question starts another.
 */
export class Solver {
  private worker: SolverHandle | null = null;
  private closed = false;

  constructor(private readonly spawn: () => SolverHandle) {}

  /** Starts the worker ahead of the first question. */
  start(): SolverHandle {
    if (this.closed) throw new Error("The solver is closed.");
    if (this.worker) return this.worker;
    const worker = this.spawn();
    this.worker = worker;
    void worker.died.then(() => {
      if (this.worker === worker) this.worker = null;
      worker.terminate();
    });
    return worker;
  }

  /** Asks the worker; rejects with the reason when it dies over the question. */
  async ask<T>(question: (api: SolverApi) => Promise<T>): Promise<T> {
    const { api, died } = this.start();
    return Promise.race([
      question(api),
      died.then((reason): never => {
        throw new Error(`The solver stopped: ${reason}`);
      }),
    ]);
  }

  close(): void {
    this.closed = true;
    this.worker?.terminate();
    this.worker = null;
  }
}
