import type { Engine } from "../engine.ts";
import { type NewPhoto, PhotoAdder, type PhotoPlace } from "../photos/add-photos.ts";
import { CameraGuide } from "../photos/camera-guide.ts";
import { LateThumbs } from "../photos/late-thumbs.ts";
import { thumbs } from "../photos/thumbs.ts";
import { isQuotaError } from "../store/database.ts";
import * as jobs from "../store/jobs.ts";
import type { JobRecord, PhotoRecord } from "../store/schema.ts";
import { inputsDigest } from "./inputs.ts";
import { JobSaver } from "./job-saver.ts";
import { type JobState, standPhotosMissing } from "./job-state.ts";
import { holdJobLock } from "./lock.ts";
import { Runner } from "./runner.ts";
import { type SheetStep, saveStep, withStep } from "./steps.ts";
import { Store } from "./store.ts";
import { readState } from "./stored-state.ts";

/** After an entry was changed the measurement waits this long for the next keystroke. */
const typingPauseMs = 1500;

/**
 * One open job: holds its state and saves every change at once. Leaving, reloading or a dead
 * battery loses nothing; opening the job goes on with what was not done yet.
 */
export class JobSession {
  readonly store: Store<JobState>;
  private readonly engine: Engine;
  private readonly runner: Runner;
  private readonly guide: CameraGuide;
  private readonly lateThumbs: LateThumbs;
  private readonly adder: PhotoAdder;
  private claimed = new AbortController();
  private closed = false;
  private pending: ReturnType<typeof setTimeout> | undefined;
  private readonly saver: JobSaver;

  private constructor(engine: Engine, state: JobState) {
    this.engine = engine;
    this.store = new Store(state);
    this.saver = new JobSaver(state.record.revision);
    const host = {
      state: () => this.state,
      patch: (change: Partial<JobState>) => this.patch(change),
      guard: (write: () => Promise<void>) => this.guard(write),
      adding: () => this.adder.isAdding,
    };
    this.runner = new Runner(host, engine);
    this.adder = new PhotoAdder(
      host,
      () => !this.closed && this.state.writable,
      () => {
        if (!this.closed) {
          this.runner.work();
        }
      },
    );
    this.guide = new CameraGuide(host, engine);
    this.lateThumbs = new LateThumbs(host);
    this.store.subscribe(() => {
      this.guide.look();
      this.lateThumbs.look();
    });
  }

  get engineVersion(): string {
    return this.engine.version;
  }

  /** Opens a stored job, or gives null where there is none. */
  static async open(id: string, engine: Engine): Promise<JobSession | null> {
    const record = await jobs.loadJob(id);
    if (!record) {
      return null;
    }
    const session = new JobSession(engine, await readState(record, engine.version));
    await session.claim(false);
    return session;
  }

  /** Asks for the right to write; `takeOver` takes it from another tab. */
  async claim(takeOver: boolean): Promise<void> {
    this.claimed.abort();
    this.claimed = new AbortController();
    const { signal } = this.claimed;
    let first = !takeOver;
    await holdJobLock(this.state.record.id, takeOver, signal, {
      onHeld: () => {
        void this.begin(first);
        first = false;
      },
      onWaiting: () => {
        first = false;
        this.runner.stop();
        this.patch({ writable: false });
      },
    });
  }

  /** This tab holds the job now; what another tab may have written meanwhile is read again. */
  private async begin(fresh: boolean): Promise<void> {
    if (!fresh) {
      const { id } = this.state.record;
      const record = (await jobs.loadJob(id)) ?? this.state.record;
      this.saver.hasRead(record);
      this.patch(await readState(record, this.engine.version));
    }
    this.patch({ writable: true });
    this.runner.work();
  }

  /** Starts all workers ahead of the first photo; a failure shows when a photo needs them. */
  warmUp(): void {
    if (this.state.writable) {
      thumbs();
      this.engine.prepare(() => {}).catch(() => {});
    }
  }

  /** Stops work and gives the job free for another tab. */
  close(): void {
    this.closed = true;
    clearTimeout(this.pending);
    this.guide.close();
    this.lateThumbs.close();
    this.runner.stop();
    this.claimed.abort();
  }

  /** Changes the job and saves it at once. */
  update(change: (record: JobRecord) => JobRecord): void {
    if (!this.state.writable) {
      return;
    }
    const record = {
      ...change(this.state.record),
      updatedAt: new Date().toISOString(),
      revision: this.state.record.revision + 1,
    };
    this.patch({ record });
    void this.guard(() => this.save(record));
    clearTimeout(this.pending);
    this.pending = setTimeout(() => this.runner.work(), typingPauseMs);
  }

  private async save(record: JobRecord): Promise<void> {
    if (!(await this.saver.save(record))) {
      this.runner.stop();
      this.patch({ trouble: "changed elsewhere", writable: false });
    }
  }

  /** After another tab has changed the job: what this tab shows replaces it. */
  async keepMine(): Promise<void> {
    const stored = await jobs.loadJob(this.state.record.id);
    const revision = Math.max(stored?.revision ?? 0, this.state.record.revision) + 1;
    await jobs.saveJob({ ...this.state.record, revision });
    await this.claim(true);
  }

  /** Chooses where the lens comes from. */
  async chooseCamera(source: JobRecord["camera"]["source"], profileId: string | null) {
    const stored = profileId ? await jobs.listProfiles() : [];
    const profile = stored.find((item) => item.id === profileId)?.profile ?? null;
    this.update((record) => ({ ...record, camera: { source, profileId } }));
    this.patch({ profile });
    this.runner.work();
  }

  /** Adds files, see {@link PhotoAdder.add}. */
  addPhotos(files: readonly NewPhoto[], place: PhotoPlace): Promise<readonly PhotoRecord[]> {
    return this.adder.add(files, place);
  }

  dismissRefusals(): void {
    this.patch({ refusals: [] });
  }

  /** Puts photos aside; {@link undoRemove} brings them back until the job is opened again. */
  removePhotos(ids: readonly string[]): void {
    this.changePhotos(ids, { removed: true });
    this.patch({ undo: [...ids] });
  }

  undoRemove(): void {
    this.changePhotos(this.state.undo, { removed: false });
    this.patch({ undo: [] });
  }

  dismissUndo(): void {
    this.patch({ undo: [] });
  }

  /** Changes where photos belong (car position, before or after). */
  placePhotos(ids: readonly string[], change: Partial<PhotoPlace>): void {
    this.changePhotos(ids, change);
  }

  /** The stand was moved: its earlier photos stop counting for the stand. */
  beginSetup(): void {
    if (standPhotosMissing(this.state)) {
      // Said twice: the set-up that was begun has no photo yet.
      return;
    }
    this.update((record) => ({
      ...record,
      photos: { ...record.photos, setups: record.photos.setups + 1 },
    }));
  }

  /** The stand was not moved after all; only while no photo shows it at a new place. */
  undoSetup(): void {
    if (standPhotosMissing(this.state)) {
      this.update((record) => ({
        ...record,
        photos: { ...record.photos, setups: record.photos.setups - 1 },
      }));
    }
  }

  /** Keeps the result of the present step and goes on with another, for which the stand moves. */
  keepStep(present: SheetStep, next: SheetStep): void {
    const { record, result, keptSteps } = this.state;
    if (result) {
      this.patch({ keptSteps: new Map([...keptSteps, [present.id, result.result]]) });
      void this.guard(() => saveStep(record.id, present.id, result.result));
      this.update((job) => withStep(job, next));
    }
  }

  private changePhotos(ids: readonly string[], change: Partial<PhotoRecord>): void {
    const photos = this.state.photos.map((photo) =>
      ids.includes(photo.id) ? { ...photo, ...change } : photo,
    );
    this.patch({ photos });
    for (const photo of photos.filter((item) => ids.includes(item.id))) {
      void this.guard(() => jobs.savePhoto(photo));
    }
    this.runner.work();
  }

  /** Stops examining and measuring; what was found so far stays. */
  pause(): void {
    this.runner.stop();
    this.patch({ paused: true });
  }

  resume(): void {
    const wasFull = this.state.trouble === "storage full";
    this.patch({ paused: false, trouble: null, failure: null });
    if (wasFull) {
      void this.guard(() => this.saveAll());
    }
    this.runner.work();
  }

  /** What was entered while the device was full is in memory only. */
  private async saveAll(): Promise<void> {
    const { record, photos } = this.state;
    await this.save(record);
    for (const photo of photos) {
      await jobs.savePhoto(photo);
    }
  }

  /** Measures again after entries were changed. */
  measure(): void {
    this.resume();
  }

  /** True where the shown result no longer belongs to the present inputs. */
  isStale(): boolean {
    const { result } = this.state;
    return result !== null && result.inputs !== inputsDigest(this.state, this.engine.version);
  }

  private get state(): JobState {
    return this.store.get();
  }

  private patch(change: Partial<JobState>): void {
    this.store.set({ ...this.state, ...change });
  }

  /** Runs a write; a full device stops the work and says so instead of losing data silently. */
  private async guard(write: () => Promise<void>): Promise<boolean> {
    try {
      await write();
      return true;
    } catch (error) {
      if (!isQuotaError(error)) {
        throw error;
      }
      this.patch({ trouble: "storage full" });
      return false;
    }
  }
}
