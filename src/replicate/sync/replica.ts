/** What replication asks of a device: its objects, and what it has learnt of the store. */
import type { Sha256 } from "../../record/sha256.ts";
import type { Entry } from "../formats/entry.ts";
import type { Bytes } from "../stores/store.ts";
import type { ReplicaState } from "./state.ts";

/** An object of this device that the store may not have yet. */
export type Outgoing = Omit<Entry, "key">;

export interface Replica {
  /** A new random name, for a device that remembers nothing of the store. */
  newDevice(): string;
  /** As it was saved; null where nothing was. */
  loadState(): Promise<unknown>;
  /** Saves the state together with entries that are new, all or nothing. */
  saveState(state: ReplicaState, learned: readonly Entry[]): Promise<void>;
  /** Everything that was learnt and not removed. */
  entries(): Promise<readonly Entry[]>;
  /** Objects that belong into the store; those that it has already may be among them. */
  outgoing(): Promise<readonly Outgoing[]>;
  read(sha256: Sha256): Promise<Bytes | null>;
  /** True where this device is to have the object and has not got it. */
  lacks(entry: Entry): Promise<boolean>;
  /** Keeps an object whose bytes are proven. */
  take(entry: Entry, bytes: Bytes): Promise<void>;
  /** Removes objects and their entries for good, together with every word about them. */
  remove(hashes: readonly Sha256[]): Promise<void>;
}
