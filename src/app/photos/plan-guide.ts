import { parseJobFile } from "../../job/file/parse-job.ts";
import type { PlanInput } from "../../plan/task.ts";
import type { Engine } from "../engine/engine.ts";
import { inBackground } from "../state/failures.ts";
import { boardOutcomes, inputsDigest, knownLenses } from "../state/inputs.ts";
import { jobFileInput } from "../state/job-file.ts";
import { type JobState, openPhotos } from "../state/job-state.ts";
import type { RunnerHost } from "../state/runner-host.ts";

/** Photos that come in at once, and keystrokes, are looked at as one change. */
const pauseMs = 300;

/**
 * Keeps the plan of the bay's photos up to date while somebody looks at it. One question at a time,
 * after the verdict; an answer for inputs that are no longer the present ones is asked again.
 */
export class PlanGuide {
  private timer: ReturnType<typeof setTimeout> | undefined;
  private asking = false;
  private closed = false;
  private watchers = 0;
  private present = new AbortController();

  constructor(
    private readonly host: RunnerHost,
    private readonly engine: Engine,
  ) {}

  get isPlanning(): boolean {
    return this.asking;
  }

  /** From now on the plan is wanted; ends with the function that it returns. */
  watch(): () => void {
    this.watchers++;
    this.look();
    return () => {
      this.watchers--;
    };
  }

  /** To be called at every change of the job. */
  look(): void {
    if (this.watchers === 0 || this.closed) {
      return;
    }
    clearTimeout(this.timer);
    this.timer = setTimeout(() => inBackground(this.ask()), pauseMs);
  }

  /** Photos were chosen: the plan under way is for fewer of them, and its processor is wanted. */
  giveWay(): void {
    this.present.abort();
  }

  /** Once more after a failure. */
  again(): void {
    this.host.patch({ planFailure: null });
    this.look();
  }

  close(): void {
    this.closed = true;
    clearTimeout(this.timer);
    this.present.abort();
  }

  private async ask(): Promise<void> {
    const { host, engine } = this;
    const state = host.state();
    const inputs = planDigest(state, engine.version);
    const input = this.isDue(state, inputs) ? planInput(state) : null;
    if (!input) {
      return;
    }
    this.asking = true;
    this.present = new AbortController();
    const { signal } = this.present;
    try {
      const answer = await engine.plan(input, signal).finally(() => {
        this.asking = false;
      });
      if (!signal.aborted) {
        host.patch({ plan: { inputs, answer }, planFailure: null });
      }
    } catch (error) {
      // A plan is advice: without one the photos still count. Other inputs are tried again.
      if (!signal.aborted) {
        const reason = error instanceof Error ? error.message : String(error);
        host.patch({ planFailure: { inputs, reason } });
      }
    }
    this.look();
  }

  private isDue(state: JobState, inputs: string): boolean {
    return (
      !this.asking &&
      !this.closed &&
      this.watchers > 0 &&
      state.writable &&
      state.trouble === null &&
      state.working.size === 0 &&
      state.computing === null &&
      !this.host.adding() &&
      openPhotos(state, "boards").length === 0 &&
      state.plan?.inputs !== inputs &&
      state.planFailure?.inputs !== inputs
    );
  }
}

/** Changes whenever a plan would be made from something else. */
export const planDigest = (state: JobState, engineVersion: string): string =>
  `${inputsDigest(state, engineVersion)} ${state.record.car.wheelbaseMm ?? ""}`;

/** What the plan is made from; null while there is no job that could be read. */
function planInput(state: JobState): PlanInput | null {
  const { record, photos } = state;
  if (record.placement.sheet === null) {
    return null;
  }
  const parsed = parseJobFile(jobFileInput(record, photos));
  if (!parsed.ok) {
    return null;
  }
  const { wheelbaseMm } = record.car;
  return {
    job: parsed.job,
    ...knownLenses(state),
    outcomes: boardOutcomes(state),
    rough: wheelbaseMm === null ? {} : { wheelbaseMm },
  };
}
