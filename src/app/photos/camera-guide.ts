import type { Engine } from "../engine/engine.ts";
import { inBackground } from "../state/failures.ts";
import { cameraDigest, sheetOutcomes } from "../state/inputs.ts";
import { type JobState, openPhotos, usesSheetPhotos } from "../state/job-state.ts";
import type { RunnerHost } from "../state/runner-host.ts";
import { saveGuidance } from "../store/results.ts";

/** Photos that come in at once are looked at as one set. */
const pauseMs = 120;

/**
 * Keeps the advice on sheet photos up to date while photos come in. One question at a time; an
 * answer for photos that are no longer the present ones is thrown away and asked again.
 */
export class CameraGuide {
  private timer: ReturnType<typeof setTimeout> | undefined;
  private asking = false;
  private closed = false;
  private seen: readonly unknown[] = [];

  constructor(
    private readonly host: RunnerHost,
    private readonly engine: Engine,
  ) {}

  /** To be called at every change of the job; cheap where nothing concerns the sheet photos. */
  look(): void {
    const { photos, outcomes, writable, record, working, computing, trouble } = this.host.state();
    const now = [photos, outcomes, writable, record.camera, working.size, computing, trouble];
    if (now.every((part, i) => part === this.seen[i])) {
      return;
    }
    this.seen = now;
    clearTimeout(this.timer);
    this.timer = setTimeout(() => inBackground(this.ask()), pauseMs);
  }

  close(): void {
    this.closed = true;
    clearTimeout(this.timer);
  }

  private async ask(): Promise<void> {
    const { host, engine } = this;
    const state = host.state();
    const inputs = cameraDigest(state, engine.version);
    if (!this.isDue(state, inputs)) {
      return;
    }
    const outcomes = sheetOutcomes(state);
    if (outcomes.length === 0) {
      if (state.guidance) {
        host.patch({ guidance: null });
      }
      return;
    }
    this.asking = true;
    try {
      const stored = { inputs, guidance: await engine.guide(outcomes) };
      if (!this.closed && inputs === cameraDigest(host.state(), engine.version)) {
        host.patch({ guidance: stored });
        await host.guard(() => saveGuidance(state.record.id, stored));
      }
    } catch (error) {
      console.error(error);
      if (!this.closed) {
        host.patch({ trouble: "engine failed" });
      }
    } finally {
      this.asking = false;
    }
    if (!this.closed) {
      await this.ask();
    }
  }

  /**
   * Advice in the middle of a batch would ask for photos that are already there. The verdict comes
   * first: both are computed by the same worker.
   */
  private isDue(state: JobState, inputs: string): boolean {
    return (
      !this.asking &&
      state.working.size === 0 &&
      state.computing === null &&
      !this.host.adding() &&
      !this.closed &&
      state.writable &&
      state.trouble === null &&
      usesSheetPhotos(state) &&
      openPhotos(state, "sheet").length === 0 &&
      state.guidance?.inputs !== inputs
    );
  }
}
