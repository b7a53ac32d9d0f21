import type { VisionPool } from "./pool.ts";
import type { SolverDesk } from "./solver-desk.ts";

/**
 * The camera step leaves the solver with a heap of some 40 MB, and all bay photos come before its next
 * question. So it is ended when several photos wait, and a fresh one practises when the last ones are
 * under way, while a processor is free.
 */
export class SolverMemory {
  private grown = false;
  private ended = false;

  constructor(
    private readonly desk: Pick<SolverDesk, "restNow" | "ask">,
    private readonly pool: Pick<VisionPool, "waiting" | "underWay">,
  ) {}

  /** The solver has been asked for something large. */
  asked(): void {
    this.grown = true;
    this.ended = false;
  }

  /** A bay photo was put in the queue. */
  photoCame(): void {
    if (!this.grown || this.pool.waiting < 2) return;
    this.desk.restNow();
    this.grown = false;
    this.ended = true;
  }

  /** A photo is done. */
  photoDone(): void {
    if (!this.ended || this.pool.waiting > 0 || this.pool.underWay === 0) return;
    this.ended = false;
    this.desk.ask((api) => api.warmUp()).catch(() => undefined);
  }
}
