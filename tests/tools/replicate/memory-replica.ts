/** A device in memory. What it has written down survives the death of the program, nothing else does. */
import { hashOf, type Sha256 } from "../../../src/record/sha256.ts";
import type { Entry, Kind } from "../../../src/replicate/formats/entry.ts";
import type { Bytes } from "../../../src/replicate/stores/store.ts";
import type { Outgoing, Replica } from "../../../src/replicate/sync/replica.ts";
import type { ReplicaState } from "../../../src/replicate/sync/state.ts";

export class MemoryReplica implements Replica {
  readonly objects = new Map<Sha256, Bytes>();
  readonly own: Outgoing[] = [];
  private saved: string | null = null;
  private learned = new Map<Sha256, Entry>();

  constructor(
    readonly name: string,
    private readonly wants: (entry: Entry) => boolean = () => true,
    /** Called before every write on the device; may throw. */
    private readonly live: () => void = () => undefined,
  ) {}

  add(kind: Kind, bytes: Bytes, about: Partial<Outgoing> = {}): Sha256 {
    const sha256 = hashOf(bytes);
    this.objects.set(sha256, bytes);
    this.own.push({ kind, sha256, bytes: bytes.length, ...about });
    return sha256;
  }

  newDevice(): string {
    return this.name;
  }
  async loadState(): Promise<unknown> {
    return this.saved === null ? null : JSON.parse(this.saved);
  }
  async saveState(state: ReplicaState, learned: readonly Entry[]): Promise<void> {
    this.live();
    this.saved = JSON.stringify(state);
    for (const entry of learned) this.learned.set(entry.sha256, entry);
  }
  async entries(): Promise<readonly Entry[]> {
    return [...this.learned.values()];
  }
  async outgoing(): Promise<readonly Outgoing[]> {
    return this.own;
  }
  async read(sha256: Sha256): Promise<Bytes | null> {
    return this.objects.get(sha256) ?? null;
  }
  async lacks(entry: Entry): Promise<boolean> {
    return this.wants(entry) && !this.objects.has(entry.sha256);
  }
  async take(entry: Entry, bytes: Bytes): Promise<void> {
    this.live();
    this.objects.set(entry.sha256, bytes);
  }
  async remove(hashes: readonly Sha256[]): Promise<void> {
    for (const hash of hashes) {
      this.objects.delete(hash);
      this.learned.delete(hash);
    }
  }
}
