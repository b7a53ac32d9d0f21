/**
 * One replication of a device with a store. First it reads what the store has that is new, then it
 * stores what is waiting (what the shop knows first, then records, photos last), each named by an index
 * object only after it is there, then it fetches what the device is to have. It may end at any point:
 * whatever was done counts, and the next one goes on from there.
 */
import type { Sha256 } from "../../record/sha256.ts";
import { type Fault, StoreFault } from "../faults/faults.ts";
import { type Entry, type Kind, kinds, type Lane, laneOf, lanes } from "../formats/entry.ts";
import { mostEntries, newIndexObject } from "../formats/index-object.ts";
import { Catalogue } from "./catalogue.ts";
import { dayOf, monthOf } from "./paths.ts";
import { readIndex } from "./read-index.ts";
import type { Outgoing, Replica } from "./replica.ts";
import { newReplicaState, type ReplicaState, replicaStateSchema } from "./state.ts";
import {
  getObject,
  type IndexPlace,
  putIndex,
  putObject,
  storedWhole,
  type Vault,
} from "./vault.ts";

export interface Progress {
  readonly doing: "reading" | "storing" | "fetching";
  readonly done: number;
  readonly of: number;
}

export interface HowToReplicate {
  /** ms since 1970 by this device's clock. */
  now(): number;
  /** False holds photos and attached files back, for instance on mobile data. */
  readonly photos: boolean;
  /** Lanes of others that this device follows; its own objects go into any. */
  readonly follow: readonly Lane[];
  readonly signal?: AbortSignal;
  onProgress?(progress: Progress): void;
}

export interface Replicated {
  readonly stored: number;
  readonly storedBytes: number;
  readonly fetched: number;
  readonly fetchedBytes: number;
  /** Photos and files that wait for a better network, and their size. */
  readonly held: { readonly count: number; readonly bytes: number };
  /** What was named and not taken in, and what else a person should know. */
  readonly faults: readonly Fault[];
}

/** Index objects of photos are written after so many, so that a break costs little. */
const photosPerIndex = 25;

/** Clocks of phones that set themselves agree far better than this. */
const clockMinutes = 5;

/** Throws StoreFault where the store ends it; what was done until then is kept. */
export async function replicate(
  vault: Vault,
  replica: Replica,
  how: HowToReplicate,
): Promise<Replicated> {
  const run = new Run(vault, replica, how);
  await run.begin();
  await run.readLanes();
  await run.store();
  await run.fetch();
  return run.report();
}

const inOrder = (a: Outgoing, b: Outgoing): number => kinds.indexOf(a.kind) - kinds.indexOf(b.kind);

class Run {
  private state!: ReplicaState;
  private catalogue = new Catalogue();
  private readonly faults: Fault[] = [];
  private stored = { count: 0, bytes: 0 };
  private fetched = { count: 0, bytes: 0 };
  private held = { count: 0, bytes: 0 };
  /** The store's clock less this device's, ms; null until the store said when it stored something. */
  private skew: number | null = null;
  private newestDay: string | null = null;
  /** This device remembers nothing of the store: what it has may be there already. */
  private isFresh = false;

  constructor(
    private readonly vault: Vault,
    private readonly replica: Replica,
    private readonly how: HowToReplicate,
  ) {}

  async begin(): Promise<void> {
    const read = replicaStateSchema.safeParse(await this.replica.loadState());
    this.isFresh = !read.success;
    this.state = read.success ? read.data : newReplicaState(this.replica.newDevice());
    this.catalogue = new Catalogue(await this.replica.entries());
  }

  async readLanes(): Promise<void> {
    const { follow } = this.how;
    for (const [done, lane] of lanes.entries()) {
      this.step("reading", done, lanes.length);
      if (follow.includes(lane)) await this.readLane(lane);
    }
  }

  private async readLane(lane: Lane): Promise<void> {
    const read = await readIndex(
      this.vault,
      lane,
      this.state.lanes[lane],
      this.how.now(),
      this.today(),
    );
    this.faults.push(...read.faults);
    if (read.newestDay && (!this.newestDay || read.newestDay > this.newestDay)) {
      this.newestDay = read.newestDay;
    }
    await this.learn(read.entries, { lanes: { ...this.state.lanes, [lane]: read.state } });
  }

  /** Takes entries in; what they remove is removed here too. */
  private async learn(entries: readonly Entry[], change: Partial<ReplicaState>): Promise<void> {
    const learned = this.catalogue.add(entries);
    const removed = learned.flatMap(({ removes = [] }) => removes);
    if (removed.length > 0) await this.replica.remove(removed);
    await this.save(change, learned);
  }

  /** Stores what waits. Entries go into the index lane by lane, photos in small groups. */
  async store(): Promise<void> {
    const { outgoing, held } = await this.waiting();
    this.held = { count: held.length, bytes: held.reduce((sum, { bytes }) => sum + bytes, 0) };
    // Stored before a break, but not named yet.
    await this.nameStored();
    for (const [done, one] of outgoing.entries()) {
      this.step("storing", done, outgoing.length);
      const before = outgoing[done - 1];
      const laneEnds = before && laneOf(before.kind) !== laneOf(one.kind);
      if (laneEnds || this.state.stored.length >= photosPerIndex) await this.nameStored();
      await this.storeOne(one);
    }
    await this.nameStored();
  }

  private async waiting(): Promise<{ outgoing: Outgoing[]; held: Outgoing[] }> {
    const stored = new Set(this.state.stored.map(({ sha256 }) => sha256));
    const seen = new Set<Sha256>();
    const all = (await this.replica.outgoing()).filter(({ sha256 }) => {
      const isNew =
        !seen.has(sha256) &&
        !stored.has(sha256) &&
        !this.catalogue.has(sha256) &&
        !this.catalogue.isRemoved(sha256);
      seen.add(sha256);
      return isNew;
    });
    const isHeld = ({ kind }: Outgoing): boolean => !this.how.photos && laneOf(kind) === "photos";
    return {
      outgoing: all.filter((one) => !isHeld(one)).sort(inOrder),
      held: all.filter(isHeld),
    };
  }

  private async storeOne(one: Outgoing): Promise<void> {
    const { sha256 } = one;
    const [{ id: key }] = this.vault.keys;
    // After a break the object may be there already: a question costs less than its bytes.
    const mayBeThere = this.isFresh || this.state.inFlight === sha256;
    const isThere = mayBeThere && (await storedWhole(this.vault, sha256, one.bytes)) !== null;
    if (!isThere) {
      const bytes = await this.replica.read(sha256);
      // Deleted on this device since it was listed.
      if (!bytes) return;
      await this.save({ inFlight: sha256 });
      await putObject(this.vault, sha256, bytes);
      this.stored = { count: this.stored.count + 1, bytes: this.stored.bytes + bytes.length };
    }
    await this.save({ inFlight: null, stored: [...this.state.stored, { ...one, key }] });
    if (this.skew === null) await this.askTime(sha256, one.bytes);
  }

  /** The store's clock, by what it says of an object stored just now. */
  private async askTime(sha256: Sha256, bytes: number): Promise<void> {
    const head = await storedWhole(this.vault, sha256, bytes);
    if (head?.storedAt == null) return;
    this.skew = head.storedAt - this.how.now();
    const minutes = Math.round(Math.abs(this.skew) / 60_000);
    if (minutes > clockMinutes) this.faults.push({ code: "device-clock", values: { minutes } });
  }

  /** Writes index objects for what is stored and not named yet. */
  private async nameStored(): Promise<void> {
    for (const lane of lanes) {
      const entries = this.state.stored.filter(({ kind }) => laneOf(kind) === lane);
      for (let from = 0; from < entries.length; from += mostEntries) {
        await this.nameSome(lane, entries.slice(from, from + mostEntries));
      }
    }
  }

  private async nameSome(lane: Lane, entries: readonly Entry[]): Promise<void> {
    const { device } = this.state;
    const laneState = this.state.lanes[lane];
    const number = laneState.sequence + 1;
    const covers = { [device]: [[number, number] as [number, number]] };
    const index = newIndexObject({ lane, covers, entries: [...entries] });
    await putIndex(this.vault, lane, index, this.writingPlace());
    const named = new Set(entries.map(({ sha256 }) => sha256));
    await this.learn(entries, {
      stored: this.state.stored.filter(({ sha256 }) => !named.has(sha256)),
      lanes: { ...this.state.lanes, [lane]: { ...laneState, sequence: number } },
    });
  }

  /** The store's day; where it says no time, never before the newest day that others look at. */
  private writingPlace(): IndexPlace {
    const today = this.today();
    const newer = this.skew === null && this.newestDay !== null && this.newestDay > today;
    const day = newer ? this.newestDay! : today;
    return { month: monthOf(day), day: day.slice(8) };
  }

  private today(): string {
    return dayOf(this.how.now() + (this.skew ?? 0));
  }

  /** Fetches what this device is to have, kind by kind: what a document says decides about photos. */
  async fetch(): Promise<void> {
    const byKind = new Map<Kind, Entry[]>(kinds.map((kind) => [kind, []]));
    for (const entry of this.catalogue.entries()) byKind.get(entry.kind)?.push(entry);
    for (const [kind, entries] of byKind) {
      if (!this.how.photos && laneOf(kind) === "photos") continue;
      const wanted: Entry[] = [];
      for (const entry of entries) if (await this.replica.lacks(entry)) wanted.push(entry);
      for (const [done, entry] of wanted.entries()) {
        this.step("fetching", done, wanted.length);
        await this.fetchOne(entry);
      }
    }
  }

  /** What is not what it should be is named and left out. */
  private async fetchOne(entry: Entry): Promise<void> {
    const got = await getObject(this.vault, entry);
    if (!got.ok) {
      this.faults.push(got.fault);
      return;
    }
    await this.replica.take(entry, got.bytes);
    this.fetched = {
      count: this.fetched.count + 1,
      bytes: this.fetched.bytes + got.bytes.length,
    };
  }

  report(): Replicated {
    return {
      stored: this.stored.count,
      storedBytes: this.stored.bytes,
      fetched: this.fetched.count,
      fetchedBytes: this.fetched.bytes,
      held: this.held,
      faults: this.faults,
    };
  }

  private step(doing: Progress["doing"], done: number, of: number): void {
    this.how.signal?.throwIfAborted();
    this.how.onProgress?.({ doing, done, of });
  }

  private async save(change: Partial<ReplicaState>, learned: readonly Entry[] = []): Promise<void> {
    this.state = { ...this.state, ...change };
    await this.replica.saveState(this.state, learned);
  }
}

export { StoreFault };
