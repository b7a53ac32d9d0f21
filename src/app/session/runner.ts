import type { PhotoOutcome } from "../../detect/findings/findings.ts";
import { parseJobFile } from "../../job/file/parse-job.ts";
import type { Engine } from "../engine/engine.ts";
import { inBackground } from "../state/failures.ts";
import {
  boardOutcomes,
  cameraDigest,
  inputsDigest,
  knownLenses,
  sheetOutcomes,
} from "../state/inputs.ts";
import { jobFileInput } from "../state/job-file.ts";
import {
  activePhotos,
  type JobState,
  lensChoice,
  lensKeyOf,
  openPhotos,
  usesSheetPhotos,
} from "../state/job-state.ts";
import { refusedInput } from "../state/refused-input.ts";
import type { RunnerHost } from "../state/runner-host.ts";
import { hasUnread, unreadRemarks } from "../state/unread.ts";
import type { PhotoRecord } from "../store/database/schema.ts";
import { saveOutcome } from "../store/outcomes.ts";
import { photoBytes } from "../store/photos.ts";
import { saveCamera, saveResult } from "../store/results.ts";

/** A photo's stored file, or null where it is not there or the browser cannot read it any more. */
async function readableBytes(id: string): Promise<Blob | null> {
  try {
    const blob = await photoBytes(id);
    await blob?.slice(0, 1).arrayBuffer();
    return blob;
  } catch {
    return null;
  }
}

/** Found in a photo whose file is gone: nothing, for a reason that is said. */
const withoutBytes = (name: string): PhotoOutcome => ({
  ok: false,
  name,
  remark: {
    code: "unreadable",
    severity: "error",
    message: `${name} cannot be read: its file is no longer on this device.`,
    remedy: "Copy the photo again, or leave it out.",
    about: name,
  },
});

/**
 * Brings a job forward whenever something is to be done: sheet photos, then the camera, then the
 * other photos with that lens, then the measurement. Every step stores what it found, so stopping
 * anywhere loses at most the photos under way.
 */
export class Runner {
  private round = new AbortController();
  private prepared: Promise<void> | null = null;

  constructor(
    private readonly host: RunnerHost,
    private readonly engine: Engine,
  ) {}

  /** Stops everything under way; findings so far stay. */
  stop(): void {
    this.round.abort();
    this.round = new AbortController();
    this.host.patch({ working: new Set(), computing: null, loading: null });
  }

  /** Starts whatever comes next; does nothing while paused, read-only or in trouble. */
  work(): void {
    const state = this.host.state();
    if (state.paused || !state.writable || state.trouble || state.computing) {
      return;
    }
    const sheet = usesSheetPhotos(state) ? openPhotos(state, "sheet") : [];
    if (sheet.length > 0) {
      this.examineSome(sheet);
    } else if (this.cameraIsDue(state)) {
      if (!this.host.adding()) {
        inBackground(this.calibrate());
      }
    } else {
      const boards = [...openPhotos(state, "boards"), ...openPhotos(state, "target")];
      if (boards.length > 0) {
        this.examineSome(boards);
      } else if (!this.host.adding() && this.solveIsDue(state)) {
        inBackground(this.solve());
      }
    }
  }

  private cameraIsDue(state: JobState): boolean {
    return (
      usesSheetPhotos(state) &&
      activePhotos(state, "sheet").length > 0 &&
      state.camera?.inputs !== cameraDigest(state, this.engine.version)
    );
  }

  private solveIsDue(state: JobState): boolean {
    if (activePhotos(state, "boards").length === 0 || state.record.placement.sheet === null) {
      return false;
    }
    const inputs = inputsDigest(state, this.engine.version);
    return state.result?.inputs !== inputs && state.failure?.inputs !== inputs;
  }

  private examineSome(photos: readonly PhotoRecord[]): void {
    const { working } = this.host.state();
    const free = Math.max(0, this.engine.parallel - working.size);
    const next = photos.filter((photo) => !working.has(photo.id)).slice(0, free);
    if (next.length > 0) {
      this.host.patch({ working: new Set([...working, ...next.map((photo) => photo.id)]) });
      for (const photo of next) {
        inBackground(this.examine(photo, this.round.signal));
      }
    }
  }

  private async examine(photo: PhotoRecord, signal: AbortSignal): Promise<void> {
    const { host, engine } = this;
    let finished = false;
    await this.step(signal, async () => {
      await this.prepare();
      const blob = await readableBytes(photo.id);
      if (signal.aborted) {
        return;
      }
      const what = photo.purpose === "sheet" ? "sheet" : "boards";
      const choice = what === "sheet" ? { lens: null } : lensChoice(host.state(), photo);
      const outcome = blob
        ? await engine.examine({ name: photo.name, blob, what, ...choice }, signal)
        : withoutBytes(photo.name);
      const stored = { lensKey: lensKeyOf(choice, outcome), outcome };
      if (!signal.aborted) {
        // What is shown as examined is stored; other photos fill the workers meanwhile.
        await host.guard(() => saveOutcome(photo.id, engine.version, stored));
        if (signal.aborted) {
          return;
        }
        host.patch({
          outcomes: new Map([...host.state().outcomes, [photo.id, stored]]),
          working: this.workingWithout(photo),
        });
        finished = true;
        this.work();
      }
    });
    if (!signal.aborted && !finished) {
      host.patch({ working: this.workingWithout(photo) });
      this.work();
    }
  }

  private workingWithout(photo: PhotoRecord): ReadonlySet<string> {
    const working = new Set(this.host.state().working);
    working.delete(photo.id);
    return working;
  }

  private async calibrate(): Promise<void> {
    const { host, engine } = this;
    const { signal } = this.round;
    host.patch({ computing: "camera" });
    await this.step(signal, async () => {
      const inputs = cameraDigest(host.state(), engine.version);
      const answer = await engine.calibrate(sheetOutcomes(host.state()), signal);
      if (!signal.aborted) {
        host.patch({ camera: { inputs, answer } });
        this.computed(signal);
        await host.guard(() => saveCamera(host.state().record.id, { inputs, answer }));
      }
    });
  }

  private async solve(): Promise<void> {
    const { host, engine } = this;
    const { signal } = this.round;
    host.patch({ computing: "adjustment", failure: null });
    await this.step(signal, async () => {
      const state = host.state();
      const inputs = inputsDigest(state, engine.version);
      const outcome = await this.answer(state, signal);
      if (signal.aborted) {
        return;
      }
      if (outcome.ok) {
        const stored = { inputs, result: outcome.result };
        host.patch({ result: stored });
        this.computed(signal);
        await host.guard(() => saveResult(stored, host.listing(host.state())));
      } else {
        host.patch({ failure: { inputs, remarks: outcome.remarks } });
        this.computed(signal);
      }
    });
  }

  private async answer(state: JobState, signal: AbortSignal) {
    const { camera } = state;
    if (usesSheetPhotos(state) && camera && !camera.answer.ok) {
      return { ok: false as const, remarks: camera.answer.remarks };
    }
    if (hasUnread(state.record)) {
      return { ok: false as const, remarks: unreadRemarks(state.record) };
    }
    const parsed = parseJobFile(jobFileInput(state.record, state.photos));
    if (!parsed.ok) {
      return { ok: false as const, remarks: refusedInput(parsed) };
    }
    const input = {
      job: parsed.job,
      ...knownLenses(state),
      outcomes: boardOutcomes(state),
      measuredAt: new Date().toISOString(),
    };
    return this.engine.solve(input, signal);
  }

  private computed(signal: AbortSignal): void {
    if (!signal.aborted) {
      this.host.patch({ computing: null });
      this.work();
    }
  }

  private prepare(): Promise<void> {
    this.prepared ??= this.engine
      .prepare((share) => this.host.patch({ loading: share < 1 ? share : null }))
      .catch((error) => {
        this.prepared = null;
        throw error;
      });
    return this.prepared;
  }

  /** Runs a step; an engine that cannot run at all stops the work until the user tries again. */
  private async step(signal: AbortSignal, work: () => Promise<void>): Promise<void> {
    try {
      await work();
    } catch (error) {
      if (!signal.aborted) {
        console.error(error);
        this.host.patch({ trouble: "engine failed", loading: null, computing: null });
      }
    }
  }
}
