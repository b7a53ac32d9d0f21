import { createStore, type StoreApi } from "zustand/vanilla";
import type { Engine } from "../engine/engine.ts";
import { type NewPhoto, PhotoAdder, type PhotoPlace } from "../photos/add-photos.ts";
import { CameraGuide } from "../photos/camera-guide.ts";
import { LateThumbs } from "../photos/late-thumbs.ts";
import { PlanGuide } from "../photos/plan-guide.ts";
import { warmUpThumbs } from "../photos/thumbs.ts";
import { hearArrivals } from "../state/arrivals.ts";
import { beforeMove } from "../state/before-move.ts";
import { after } from "../state/clock.ts";
import { forgetFailures, inBackground, reportFailure } from "../state/failures.ts";
import { inputsDigest } from "../state/inputs.ts";
import { type JobState, standPhotosMissing, usesSheetPhotos } from "../state/job-state.ts";
import { verdictToList } from "../state/listed-verdict.ts";
import { standingOf } from "../state/record-state.ts";
import { type SheetStep, withStep } from "../state/steps.ts";
import { otherLenses, readState, settlePutAside } from "../state/stored-state.ts";
import { isQuotaError } from "../store/database/not-saved.ts";
import type { JobRecord, PhotoRecord } from "../store/database/schema.ts";
import { clearIntake, type Intake, loadIntake, saveIntake } from "../store/intake.ts";
import * as jobs from "../store/jobs.ts";
import { saveStep } from "../store/kept-steps.ts";
import { type ListedJob, listedJob } from "../store/listings.ts";
import { loadPhoneLenses } from "../store/phone-lenses.ts";
import { inOrderAdded, listPhotos, savePhotos } from "../store/photos.ts";
import { listProfiles } from "../store/profiles.ts";
import { closeJob, prepareClosing, type ReadyToClose, type SealFile } from "./close-job.ts";
import { JobSaver } from "./job-saver.ts";
import { holdJobLock } from "./lock.ts";
import { Runner } from "./runner.ts";
import { signerOf, signIfPossible } from "./sign-record.ts";

/** After an entry was changed the measurement waits this long for the next keystroke. */
const typingPauseMs = 1500;

/**
 * One open job: holds its state and saves every change at once. Leaving, reloading or a dead
 * battery loses nothing; opening the job goes on with what was not done yet.
 */
export class JobSession {
  /** What screens watch, each the part that it shows. */
  readonly store: StoreApi<JobState>;
  private readonly engine: Engine;
  private readonly runner: Runner;
  private readonly guide: CameraGuide;
  private readonly plans: PlanGuide;
  private readonly lateThumbs: LateThumbs;
  private readonly adder: PhotoAdder;
  private claimed = new AbortController();
  private closed = false;
  /** Ends once the job is this tab's, if it is. */
  private begun: Promise<void> = Promise.resolve();
  private pending: ReturnType<typeof setTimeout> | undefined;
  private readonly saver: JobSaver;
  private readonly stopHearing: () => void;

  private constructor(engine: Engine, state: JobState) {
    this.engine = engine;
    this.store = createStore<JobState>(() => state);
    this.saver = new JobSaver(state.record.revision);
    const host = {
      state: () => this.state,
      patch: (change: Partial<JobState>) => this.patch(change),
      guard: (write: () => Promise<void>) => this.guard(write),
      listing: (state: JobState) => this.listing(state),
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
    this.plans = new PlanGuide(host, engine);
    this.lateThumbs = new LateThumbs(host, () => this.plans.isPlanning);
    const onArrival = () => inBackground(this.takeArrivals());
    this.stopHearing = hearArrivals(state.record.id, onArrival);
    this.store.subscribe(() => {
      this.guide.look();
      this.plans.look();
      this.lateThumbs.look();
    });
  }

  get engineVersion(): string {
    return this.engine.version;
  }

  /** Opens a stored job; null where there is none, the reason where it cannot be read. */
  static async open(id: string, engine: Engine): Promise<JobSession | jobs.UnreadableJob | null> {
    const outcome = await jobs.readJob(id);
    if (!outcome?.ok) {
      return outcome && { id, reason: outcome.reason, detail: outcome.detail };
    }
    const session = new JobSession(engine, await readState(outcome.record, engine.version));
    await session.claim(false);
    await session.begun;
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
        this.begun = this.begin(first).catch(reportFailure);
        first = false;
      },
      onWaiting: () => {
        first = false;
        this.runner.stop();
        // What was put aside belongs to the tab that has the job now.
        this.patch({ writable: false, undo: [] });
      },
    });
  }

  /** This tab holds the job now; what another tab may have written meanwhile is read again. */
  private async begin(fresh: boolean): Promise<void> {
    const { id } = this.state.record;
    await jobs.keepCopyOfEarlier(id);
    if (!fresh) {
      const record = (await jobs.loadJob(id)) ?? this.state.record;
      this.saver.hasRead(record);
      this.patch(await readState(record, this.engine.version));
    }
    const putAside = await settlePutAside(id);
    this.patch({
      photos: [...this.state.photos, ...putAside].sort(inOrderAdded),
      undo: putAside.map((photo) => photo.id),
      missed: missedOf(await loadIntake(id)),
      writable: true,
    });
    // Another program may have written the entry in the list.
    await this.guard(() => jobs.saveListing(this.listing()));
    this.runner.work();
  }

  /** What the list of jobs is to say of the job. */
  private listing(state = this.state): ListedJob {
    return listedJob(state.record, verdictToList(state, this.engine.version));
  }

  /** Starts all workers ahead of the first photo; a failure shows when a photo needs them. */
  warmUp(): void {
    if (this.state.writable) {
      warmUpThumbs();
      const next = usesSheetPhotos(this.state) ? "sheet" : "boards";
      this.engine.prepare(() => {}, next).catch(() => {});
    }
  }

  /** While a screen shows the plan of the photos; ends with the function that it returns. */
  watchPlan(): () => void {
    return this.plans.watch();
  }

  /** Photos and lenses that came from the job's other phones, with what is shown already left as it is. */
  private async takeArrivals(): Promise<void> {
    if (this.closed) {
      return;
    }
    const { record } = this.state;
    const stored = await listPhotos(record.id);
    const lenses = otherLenses(record, await listProfiles(), await loadPhoneLenses(record.id));
    const { photos, otherLenses: known } = this.state;
    const here = new Set(photos.map(({ id }) => id));
    const arrived = stored.filter(({ id, removed }) => !removed && !here.has(id));
    this.patch({
      ...(arrived.length > 0 && { photos: [...photos, ...arrived].sort(inOrderAdded) }),
      ...(JSON.stringify(lenses) !== JSON.stringify(known) && { otherLenses: lenses }),
    });
    if (this.state.writable) {
      await this.guard(() => jobs.saveListing(this.listing()));
      this.runner.work();
    }
  }

  /** Plans once more after it failed. */
  planAgain(): void {
    this.plans.again();
  }

  /** Stops work and gives the job free for another tab. */
  close(): void {
    this.closed = true;
    this.stopHearing();
    clearTimeout(this.pending);
    this.guide.close();
    this.plans.close();
    this.lateThumbs.close();
    this.runner.stop();
    this.claimed.abort();
  }

  /** Changes the job and saves it at once. */
  update(change: (record: JobRecord) => JobRecord): void {
    if (!this.state.writable) {
      return;
    }
    const before = this.state.record;
    const changed = change(before);
    const last = jobs.later(before.updatedAt, before.backedUpAt ?? "");
    const updatedAt = after(last, new Date());
    const record = {
      ...changed,
      updatedAt,
      // Saving as a file notes its own time, which is not a change since then.
      backedUpAt: changed.backedUpAt === before.backedUpAt ? before.backedUpAt : updatedAt,
      revision: before.revision + 1,
    };
    this.patch({ record });
    inBackground(this.guard(() => this.save(record)));
    clearTimeout(this.pending);
    this.pending = setTimeout(() => this.runner.work(), typingPauseMs);
  }

  private async save(record: JobRecord): Promise<void> {
    if (!(await this.saver.save(record, this.listing()))) {
      this.runner.stop();
      this.patch({ trouble: "changed elsewhere", writable: false });
    }
  }

  /** After another tab has changed the job: what this tab shows replaces it. */
  async keepMine(): Promise<void> {
    const stored = await jobs.loadJob(this.state.record.id);
    const revision = Math.max(stored?.revision ?? 0, this.state.record.revision) + 1;
    const record = { ...this.state.record, revision };
    await this.guard(() => jobs.saveJob(record, this.listing()));
    await this.claim(true);
  }

  /** Chooses where the lens comes from. */
  async chooseCamera(source: JobRecord["camera"]["source"], profileId: string | null) {
    const stored = profileId ? await listProfiles() : [];
    const profile = stored.find((item) => item.id === profileId)?.profile ?? null;
    // The list is to say the verdict of the new lens.
    this.patch({ profile });
    this.update((record) => ({ ...record, camera: { ...record.camera, source, profileId } }));
    this.runner.work();
  }

  /** Which kept lenses of further phones count for this job's photos, too. */
  async chooseOtherLenses(others: readonly string[]) {
    this.update(({ camera, ...record }) => ({
      ...record,
      camera: { ...camera, others: [...others] },
    }));
    const { record } = this.state;
    const lenses = otherLenses(record, await listProfiles(), await loadPhoneLenses(record.id));
    this.patch({ otherLenses: lenses });
    this.runner.work();
  }

  /** Adds files, see {@link PhotoAdder.add}. */
  addPhotos(files: readonly NewPhoto[], place: PhotoPlace): Promise<readonly PhotoRecord[]> {
    this.engine.expect?.();
    this.plans.giveWay();
    return this.adder.add(files, place);
  }

  dismissRefusals(): void {
    this.patch({ refusals: [] });
  }

  /** The phone's camera or the list of files opens over the page, which the phone may end then. */
  cameraOpens(): void {
    if (this.state.writable && !this.adder.isAdding) {
      inBackground(saveIntake(this.state.record.id, { names: [], cameraOpen: true }));
    }
  }

  /** It was closed again without a photo. */
  cameraCloses(): void {
    if (this.state.writable && !this.adder.isAdding) {
      inBackground(clearIntake(this.state.record.id));
    }
  }

  /** Photos that did not arrive were taken again, or are not needed. */
  dismissMissed(): void {
    this.patch({ missed: null });
    this.cameraCloses();
  }

  /** Puts photos aside; {@link undoRemove} brings them back, also once after the job is opened again. */
  removePhotos(ids: readonly string[]): void {
    if (!this.state.writable) {
      return;
    }
    this.changePhotos(ids, { removed: true });
    this.patch({ undo: [...ids] });
  }

  undoRemove(): void {
    this.changePhotos(this.state.undo, { removed: false, offeredBack: false });
    this.patch({ undo: [] });
  }

  dismissUndo(): void {
    this.changePhotos(this.state.undo, { offeredBack: true });
    this.patch({ undo: [] });
  }

  /** Changes where photos belong (car position, before or after). */
  placePhotos(ids: readonly string[], change: Partial<PhotoPlace>): void {
    this.changePhotos(ids, change);
  }

  /** The stand was moved: its earlier photos stop counting for the stand. */
  beginSetup(): void {
    if (standPhotosMissing(this.state)) {
      // Pressed again: the set-up that was begun has no photo yet.
      return;
    }
    // Where it stood and what was advised there stays in the record.
    const standing = standingOf(this.state);
    const { result } = this.state;
    this.update((record) => ({
      ...record,
      standings: standing ? [...record.standings, standing] : record.standings,
      photos: { ...record.photos, setups: record.photos.setups + 1 },
      placement: {
        ...record.placement,
        ...(result ? { was: beforeMove(result.result) } : {}),
      },
    }));
  }

  /** The stand was not moved after all; only while no photo shows it at a new place. */
  undoSetup(): void {
    if (standPhotosMissing(this.state)) {
      this.update((record) => ({
        ...record,
        standings: record.standings.filter(({ setup }) => setup < record.photos.setups - 1),
        photos: { ...record.photos, setups: record.photos.setups - 1 },
      }));
    }
  }

  /** Keeps the result of the present step and goes on with another, for which the stand moves. */
  keepStep(present: SheetStep, next: SheetStep): void {
    const { record, result, keptSteps } = this.state;
    if (result) {
      this.patch({ keptSteps: new Map([...keptSteps, [present.id, result.result]]) });
      inBackground(this.guard(() => saveStep(record.id, present.id, result.result)));
      this.update((job) => withStep(job, next));
    }
  }

  /** Reads and hashes everything that the record would rest on; nothing is written. */
  prepareClosing(seal: SealFile): Promise<ReadyToClose> {
    return prepareClosing(this.state, this.isStale(), seal);
  }

  /** Closes the record as its next revision; false where the write was refused. */
  async closeRecord(ready: ReadyToClose, changeReason: string): Promise<boolean> {
    const { id } = this.state.record;
    const closed = await this.guard(async () => {
      const entry = await closeJob(id, ready, changeReason, new Date());
      await signIfPossible(entry.sha256, signerOf(ready));
      this.patch({ revisions: [...this.state.revisions, entry] });
    });
    if (closed) {
      const closedAt = new Date().toISOString();
      this.update((job) => ({ ...job, record: { ...job.record, closedAt } }));
    }
    return closed;
  }

  private changePhotos(ids: readonly string[], change: Partial<PhotoRecord>): void {
    if (!this.state.writable) {
      return;
    }
    const meant = new Set(ids);
    const changed: PhotoRecord[] = [];
    const photos = this.state.photos.map((photo) => {
      if (!meant.has(photo.id)) {
        return photo;
      }
      const next = { ...photo, ...change };
      changed.push(next);
      return next;
    });
    this.patch({ photos });
    inBackground(this.guard(() => savePhotos(changed, this.listing())));
    this.runner.work();
  }

  /** Stops examining and measuring; what was found so far stays. */
  pause(): void {
    this.runner.stop();
    this.patch({ paused: true });
  }

  resume(): void {
    const { trouble } = this.state;
    this.patch({ paused: false, trouble: null, failure: null });
    if (trouble === "storage full" || trouble === "not saved") {
      forgetFailures();
      inBackground(this.guard(() => this.saveAll()));
    }
    this.runner.work();
  }

  /** What was entered while writes were refused is in memory only. */
  private async saveAll(): Promise<void> {
    const { record, photos } = this.state;
    await this.save(record);
    await savePhotos(photos, this.listing());
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
    return this.store.getState();
  }

  private patch(change: Partial<JobState>): void {
    this.store.setState(change);
  }

  /**
   * Runs a write to the store. True where it was stored; where it was refused, the job's trouble says
   * why (storage full, not saved), the work stops, and the answer is false. Never rejects.
   */
  private async guard(write: () => Promise<void>): Promise<boolean> {
    try {
      await write();
      return true;
    } catch (error) {
      if (isQuotaError(error)) {
        this.patch({ trouble: "storage full" });
      } else {
        reportFailure(error);
        this.patch({ trouble: "not saved" });
      }
      return false;
    }
  }
}

/** What is to be asked for again; null where every chosen photo has arrived. */
const missedOf = (intake: Intake | null): JobState["missed"] =>
  intake && (intake.cameraOpen || intake.names.length > 0) ? intake : null;
