import type { Engine } from "../engine.ts";
import { isQuotaError, newId } from "../storage/database.ts";
import * as jobs from "../storage/jobs.ts";
import { loadOutcome, type StoredOutcome } from "../storage/outcomes.ts";
import type { JobRecord, PhotoRecord } from "../storage/schema.ts";
import { CameraGuide } from "./camera-guide.ts";
import { inputsDigest } from "./inputs.ts";
import { type JobState, standPhotosMissing } from "./job-state.ts";
import { LateThumbs } from "./late-thumbs.ts";
import { holdJobLock } from "./lock.ts";
import { type Refusal, refuse } from "./photo-intake.ts";
import { Runner } from "./runner.ts";
import { loadSteps, type SheetStep, saveStep, withStep } from "./steps.ts";
import { Store } from "./store.ts";
import { thumbs } from "./thumbs.ts";

export interface NewPhoto {
  readonly name: string;
  readonly blob: Blob;
}

export type PhotoPlace = Pick<PhotoRecord, "purpose" | "position" | "epoch" | "about">;

/** Photos written at the same time. */
const writesAtOnce = 3;

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
  /** Sets of files that are being added. */
  private adding = 0;
  /** Photos that are being written: they count for twins and names, but are not shown yet. */
  private readonly storing = new Map<string, PhotoRecord>();
  private claimed = new AbortController();
  private closed = false;
  private pending: ReturnType<typeof setTimeout> | undefined;
  /** Revision of the job as this tab last read or wrote it. */
  private storedRevision: number;

  private constructor(engine: Engine, state: JobState) {
    this.engine = engine;
    this.store = new Store(state);
    this.storedRevision = state.record.revision;
    const host = {
      state: () => this.state,
      patch: (change: Partial<JobState>) => this.patch(change),
      guard: (write: () => Promise<void>) => this.guard(write),
      adding: () => this.adding > 0,
    };
    this.runner = new Runner(host, engine);
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
      this.storedRevision = record.revision;
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

  /** With Web Locks this tab is the only one that writes; without them another may have written. */
  private async save(record: JobRecord): Promise<void> {
    const from = this.storedRevision;
    this.storedRevision = record.revision;
    try {
      if ("locks" in navigator) {
        await jobs.saveJob(record);
      } else if (!(await jobs.saveJobIfUnchanged(record, from))) {
        this.runner.stop();
        this.patch({ trouble: "changed elsewhere", writable: false });
      }
    } catch (error) {
      this.storedRevision = Math.min(this.storedRevision, from);
      throw error;
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

  /**
   * Adds files: sniffed and fingerprinted one by one, so that 100 are no burden, and written a few at
   * a time. A photo shows, and is examined, once it is safely stored.
   */
  async addPhotos(files: readonly NewPhoto[], place: PhotoPlace): Promise<readonly PhotoRecord[]> {
    this.adding++;
    try {
      return await this.addAll(files, place);
    } finally {
      this.adding--;
      if (!this.closed) {
        this.runner.work();
      }
    }
  }

  private async addAll(
    files: readonly NewPhoto[],
    place: PhotoPlace,
  ): Promise<readonly PhotoRecord[]> {
    const added: PhotoRecord[] = [];
    const refusals: Refusal[] = [];
    let full = false;
    let failure: unknown;
    const writes = new Set<Promise<void>>();
    for (const file of files) {
      if (this.closed || !this.state.writable || full || failure) {
        break;
      }
      const look = await this.lookAt(file, place);
      if ("code" in look) {
        refusals.push(look);
        continue;
      }
      const write = this.storePhoto(look, file.blob)
        .then(
          (stored) => {
            full ||= !stored;
            if (stored) {
              added.push(look);
            }
          },
          (error) => {
            failure = error;
          },
        )
        .finally(() => writes.delete(write));
      writes.add(write);
      if (writes.size >= writesAtOnce) {
        await Promise.race(writes);
      }
    }
    await Promise.all(writes);
    this.patch({ refusals });
    if (failure) {
      throw failure;
    }
    return added;
  }

  /** What a file would be as a photo of this job, or why it cannot be one. */
  private async lookAt(file: NewPhoto, place: PhotoPlace): Promise<PhotoRecord | Refusal> {
    const head = new Uint8Array(await file.blob.slice(0, 16).arrayBuffer());
    const { fingerprint, preview } = await thumbs().firstLook(file.blob);
    const photos = [...this.state.photos, ...this.storing.values()];
    const present = photos.filter((photo) => photo.purpose !== "note");
    const refusal = refuse({ name: file.name, size: file.blob.size }, head, fingerprint, present);
    return (
      refusal ?? {
        ...place,
        id: newId(),
        jobId: this.state.record.id,
        name: uniqueName(file.name, photos),
        setup: this.state.record.photos.setups,
        addedAt: new Date().toISOString(),
        byteLength: file.blob.size,
        fingerprint,
        thumb: preview,
        preview: preview !== null,
        removed: false,
      }
    );
  }

  /** False where the device is full. */
  private async storePhoto(photo: PhotoRecord, blob: Blob): Promise<boolean> {
    this.storing.set(photo.id, photo);
    try {
      const stored = await this.guard(() => jobs.addPhoto(photo, blob));
      if (stored) {
        this.patch({ photos: [...this.state.photos, photo].sort(jobs.inOrderAdded) });
        this.runner.work();
      }
      return stored;
    } finally {
      this.storing.delete(photo.id);
    }
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

/** Everything stored about a job; photos put aside earlier are thrown away here. */
async function readState(record: JobRecord, engineVersion: string): Promise<JobState> {
  const stored = await jobs.listPhotos(record.id);
  for (const photo of stored.filter((item) => item.removed)) {
    await jobs.deletePhoto(photo.id);
  }
  const photos = stored.filter((item) => !item.removed);
  const outcomes = new Map<string, StoredOutcome>();
  for (const photo of photos) {
    const outcome = await loadOutcome(photo.id, engineVersion);
    if (outcome) {
      outcomes.set(photo.id, outcome);
    }
  }
  const profiles = record.camera.profileId ? await jobs.listProfiles() : [];
  return {
    record,
    photos,
    outcomes,
    working: new Set(),
    paused: false,
    loading: null,
    computing: null,
    camera: await jobs.loadCamera(record.id),
    guidance: await jobs.loadGuidance(record.id),
    profile: profiles.find((item) => item.id === record.camera.profileId)?.profile ?? null,
    result: await jobs.loadResult(record.id),
    keptSteps: await loadSteps(record.id),
    failure: null,
    refusals: [],
    undo: [],
    writable: true,
    trouble: null,
  };
}

/** Photo names tell photos apart everywhere, so a second `IMG_1.jpg` becomes `IMG_1 (2).jpg`. */
function uniqueName(name: string, present: readonly PhotoRecord[]): string {
  const taken = new Set(present.map((photo) => photo.name));
  const dot = name.lastIndexOf(".");
  const [stem, end] = dot > 0 ? [name.slice(0, dot), name.slice(dot)] : [name, ""];
  let candidate = name;
  for (let count = 2; taken.has(candidate); count++) {
    candidate = `${stem} (${count})${end}`;
  }
  return candidate;
}
