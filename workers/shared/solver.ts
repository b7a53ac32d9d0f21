import type { SolverApi } from "./solver-api.ts";

/** A running solver worker, whatever the platform. */
export interface SolverHandle {
  readonly api: SolverApi;
  /** Resolves with a reason when the worker dies by itself; never rejects. */
  readonly died: Promise<string>;
  terminate(): void;
}

/** A question without an answer yet. */
interface Open {
  /** Asks the present worker, for the first time or again. */
  ask(): void;
  fail(reason: unknown): void;
}

/**
 * Owner of the one solver worker. It starts with the first question (or `start`); one that dies
 * fails the questions that it had, and the next question starts another. A question that is
 * cancelled ends the worker, because nothing else stops a computation; the other questions are put
 * to the next worker. Every question gets an answer or a reason. With `restMs` a worker that has
 * answered and has had nothing to do for so long is ended: its heap stays as large as its largest
 * question made it.
 */
export class Solver {
  private worker: SolverHandle | null = null;
  private closed = false;
  private readonly open = new Set<Open>();
  private resting: ReturnType<typeof setTimeout> | undefined;

  constructor(
    private readonly spawn: () => SolverHandle,
    public restMs = Number.POSITIVE_INFINITY,
  ) {}

  /** True while no question is open. */
  get isIdle(): boolean {
    return this.open.size === 0;
  }

  /** True while there is a worker. */
  get isRunning(): boolean {
    return this.worker !== null;
  }

  /** Starts the worker ahead of the first question. */
  start(): SolverHandle {
    if (this.closed) throw closedError();
    if (this.worker) return this.worker;
    const worker = this.spawn();
    this.worker = worker;
    void worker.died.then((reason) => {
      worker.terminate();
      if (this.worker !== worker) return;
      this.worker = null;
      for (const question of [...this.open])
        question.fail(new Error(`The solver stopped: ${reason}`));
    });
    return worker;
  }

  /** Asks the worker; rejects when it dies or is closed over the question, or on `signal`. */
  ask<T>(question: (api: SolverApi) => Promise<T>, signal?: AbortSignal): Promise<T> {
    return new Promise<T>((resolve, reject) => {
      if (signal?.aborted) return reject(signal.reason);
      const cancel = (): void => {
        open.fail(signal?.reason);
        this.startAgain();
      };
      const finish = (end: () => void): void => {
        // Only the first end counts; a worker that was ended may still have sent its answer.
        if (!this.open.delete(open)) return;
        signal?.removeEventListener("abort", cancel);
        this.rest();
        end();
      };
      const open: Open = {
        ask: () => {
          try {
            question(this.start().api).then(
              (answer) => finish(() => resolve(answer)),
              (error) => open.fail(error),
            );
          } catch (error) {
            open.fail(error);
          }
        },
        fail: (reason) => finish(() => reject(reason)),
      };
      this.open.add(open);
      clearTimeout(this.resting);
      signal?.addEventListener("abort", cancel);
      open.ask();
    });
  }

  /** Ends the worker over what it computes and puts the questions that are left to another. */
  private startAgain(): void {
    this.worker?.terminate();
    this.worker = null;
    for (const question of [...this.open]) question.ask();
  }

  /** Gives the worker's memory back where no question follows within `restMs`. */
  rest(): void {
    clearTimeout(this.resting);
    if (this.closed || this.open.size > 0 || this.restMs === Number.POSITIVE_INFINITY) return;
    this.resting = setTimeout(() => this.restNow(), this.restMs);
  }

  /** Ends the worker where it has nothing to do; the next question starts another. */
  restNow(): void {
    clearTimeout(this.resting);
    if (this.open.size > 0) return;
    this.worker?.terminate();
    this.worker = null;
  }

  close(): void {
    this.closed = true;
    clearTimeout(this.resting);
    this.worker?.terminate();
    this.worker = null;
    for (const question of [...this.open]) question.fail(closedError());
  }
}

const closedError = (): Error => new Error("The solver is closed.");
