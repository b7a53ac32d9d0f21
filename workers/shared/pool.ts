import type { PhotoOutcome } from "../../src/detect/findings/findings.ts";
import type { ExamineTask, VisionApi } from "./vision-api.ts";

/** A running worker, whatever the platform. */
export interface WorkerHandle {
  readonly api: VisionApi;
  /** Resolves with a reason when the worker dies by itself; never rejects. */
  readonly died: Promise<string>;
  terminate(): void;
  /** Photos are on their way: practice can end. */
  expect?(): void;
  /** No photo follows for a while: what only the last one needed can be given back. */
  rest?(): void;
}

export interface PoolOptions {
  readonly spawn: () => WorkerHandle;
  readonly size: number;
  /** A worker silent for longer than this on one photo counts as dead. */
  readonly silenceMs?: number;
  /** After so long without a photo all workers but one are ended; never by default. */
  readonly restMs?: number;
}

interface Waiting {
  readonly task: ExamineTask;
  readonly signal: AbortSignal | undefined;
  readonly resolve: (outcome: PhotoOutcome) => void;
  readonly reject: (reason: unknown) => void;
  attempts: number;
}

const silence = 120_000;

/**
 * Owner of the vision workers: queue, several photos at once, cancel, restart. A worker that dies
 * is replaced and its photo tried once more; a photo that kills two workers is reported by name as
 * a failed outcome, and the others go on. One worker stays warm for the next photo; what the others
 * hold (code, heaps, a picture each) is given back when photos stop coming.
 */
export class VisionPool {
  private readonly queue: Waiting[] = [];
  /** Every photo without an answer, waiting or under way. */
  private readonly open = new Set<Waiting>();
  private readonly idle: WorkerHandle[] = [];
  private readonly busy = new Set<WorkerHandle>();
  private closed = false;
  private resting: ReturnType<typeof setTimeout> | undefined;
  /** How many want the workers kept. */
  private staying = 0;

  constructor(private readonly options: PoolOptions) {}

  /**
   * Starts every worker and loads the vision code in each; rejects with the reason if it cannot. `next`:
   * photos to practise for, see {@link VisionApi.warmUp}.
   */
  async warmUp(next: ExamineTask["what"]): Promise<void> {
    if (this.closed) throw closedError();
    while (this.idle.length + this.busy.size < this.options.size) this.idle.push(this.start());
    await Promise.all(
      this.idle.map((worker) =>
        Promise.race([
          worker.api.warmUp(next),
          worker.died.then((reason) => {
            throw new Error(`The vision code could not be started: ${reason}`);
          }),
        ]),
      ),
    );
  }

  /**
   * Examines one photo. Rejects with the signal's reason when cancelled, and when the pool is closed;
   * everything that is wrong with the photo is data in the outcome.
   */
  examine(task: ExamineTask, signal?: AbortSignal): Promise<PhotoOutcome> {
    return new Promise((resolve, reject) => {
      if (this.closed) return reject(closedError());
      if (signal?.aborted) return reject(signal.reason);
      const cancel = (): void => this.cancel(waiting);
      // The signal may live as long as the job: nothing of a finished photo hangs on it.
      const forget = (): void => {
        this.open.delete(waiting);
        this.rest();
        signal?.removeEventListener("abort", cancel);
      };
      const waiting: Waiting = {
        task,
        signal,
        resolve: (outcome) => {
          forget();
          resolve(outcome);
        },
        reject: (reason) => {
          forget();
          reject(reason);
        },
        attempts: 0,
      };
      signal?.addEventListener("abort", cancel);
      this.open.add(waiting);
      clearTimeout(this.resting);
      this.queue.push(waiting);
      this.pump();
    });
  }

  /** Photos were chosen and are being stored: nobody needs to practise any more. */
  expect(): void {
    for (const worker of this.idle) worker.expect?.();
  }

  /** Keeps all workers until the answered function is called, for photos that are sure to come. */
  stay(): () => void {
    clearTimeout(this.resting);
    this.staying++;
    let over = false;
    return () => {
      if (over) return;
      over = true;
      this.staying--;
      this.rest();
    };
  }

  /** Ends all workers but one now instead of after `restMs`, where no photo is under way. */
  restNow(): void {
    clearTimeout(this.resting);
    if (this.open.size > 0 || this.staying > 0) return;
    for (const worker of this.idle.splice(1)) worker.terminate();
    this.idle[0]?.rest?.();
  }

  private rest(): void {
    clearTimeout(this.resting);
    const { restMs } = this.options;
    if (this.closed || restMs === undefined || this.open.size > 0 || this.staying > 0) return;
    this.resting = setTimeout(() => this.restNow(), restMs);
  }

  /** Stops all workers; every photo without an answer is rejected at once. */
  close(): void {
    this.closed = true;
    clearTimeout(this.resting);
    for (const worker of [...this.idle, ...this.busy]) worker.terminate();
    this.idle.length = 0;
    this.busy.clear();
    this.queue.length = 0;
    for (const waiting of [...this.open]) waiting.reject(closedError());
  }

  private cancel(waiting: Waiting): void {
    const at = this.queue.indexOf(waiting);
    if (at >= 0) this.queue.splice(at, 1);
    waiting.reject(waiting.signal?.reason);
  }

  private pump(): void {
    while (!this.closed && this.queue.length > 0) {
      const worker = this.takeWorker();
      if (!worker) return;
      const waiting = this.queue.shift()!;
      void this.run(worker, waiting);
    }
  }

  private takeWorker(): WorkerHandle | null {
    const free = this.idle.pop();
    if (free) return free;
    return this.busy.size < this.options.size ? this.start() : null;
  }

  /** A new worker; one that dies while it has no photo is forgotten, so that no photo is blamed. */
  private start(): WorkerHandle {
    const worker = this.spawn();
    void worker.died.then(() => {
      const at = this.idle.indexOf(worker);
      if (at < 0) return;
      this.idle.splice(at, 1);
      worker.terminate();
    });
    return worker;
  }

  private spawn(): WorkerHandle {
    try {
      return this.options.spawn();
    } catch (error) {
      return deadFromTheStart(error instanceof Error ? error.message : String(error));
    }
  }

  private async run(worker: WorkerHandle, waiting: Waiting): Promise<void> {
    this.busy.add(worker);
    waiting.attempts++;
    const ended = await this.attempt(worker, waiting);
    this.busy.delete(worker);
    if (this.closed) return;
    if (ended.kind === "outcome") {
      this.idle.push(worker);
      waiting.resolve(ended.outcome);
    } else {
      worker.terminate();
      if (waiting.signal?.aborted) waiting.reject(waiting.signal.reason);
      else if (waiting.attempts < 2) this.queue.unshift(waiting);
      else waiting.resolve(workerFailed(waiting.task.name, ended.reason));
    }
    this.pump();
  }

  /** Bytes that were handed over to a worker went with it. */
  private async send(
    worker: WorkerHandle,
    task: ExamineTask,
    attempts: number,
  ): Promise<PhotoOutcome> {
    const bytes = attempts > 1 && task.again ? await task.again() : task.bytes;
    return worker.api.examine({ ...task, bytes });
  }

  private async attempt(
    worker: WorkerHandle,
    { task, attempts }: Waiting,
  ): Promise<{ kind: "outcome"; outcome: PhotoOutcome } | { kind: "dead"; reason: string }> {
    let timer: ReturnType<typeof setTimeout> | undefined;
    const limit = this.options.silenceMs ?? silence;
    const tooSilent = new Promise<string>((resolve) => {
      timer = setTimeout(() => resolve(`no answer for ${Math.round(limit / 1000)} s`), limit);
    });
    try {
      return await Promise.race([
        this.send(worker, task, attempts).then((outcome) => ({
          kind: "outcome" as const,
          outcome,
        })),
        worker.died.then((reason) => ({ kind: "dead" as const, reason })),
        tooSilent.then((reason) => ({ kind: "dead" as const, reason })),
      ]);
    } catch (error) {
      return { kind: "dead", reason: error instanceof Error ? error.message : String(error) };
    } finally {
      clearTimeout(timer);
    }
  }
}

const closedError = (): Error => new Error("The vision workers are closed.");

const deadFromTheStart = (reason: string): WorkerHandle => {
  const fail = (): Promise<never> => Promise.reject(new Error(reason));
  return {
    api: { warmUp: fail, examine: fail },
    died: Promise.resolve(reason),
    terminate: () => undefined,
  };
};

const workerFailed = (name: string, reason: string): PhotoOutcome => ({
  ok: false,
  name,
  remark: {
    code: "worker-failed",
    severity: "error",
    message: `${name}: reading this photo stopped the vision code twice (${reason}).`,
    remedy: "Leave this photo out, or take it again. The other photos are not affected.",
    about: name,
  },
});
