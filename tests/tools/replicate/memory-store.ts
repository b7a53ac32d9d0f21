/** A store in memory that counts what comes in, and can be told to die in the middle of a write. */
import { StoreFault } from "../../../src/replicate/faults/faults.ts";
import type { Bytes, Head, Listed, Store } from "../../../src/replicate/stores/store.ts";

export interface StoreCounts {
  requests: number;
  /** Bytes of bodies that came for a name that had its whole body already. */
  bytesTwice: number;
  bytesIn: number;
}

export interface MemoryStoreOptions {
  /** False: like a server that does not know If-None-Match and writes over what is there. */
  readonly honoursCondition?: boolean;
  now?(): number;
  /**
   * Asked before every write: "whole" stores it and then gives no answer, "part" keeps a part of the
   * body under the name, "nothing" keeps nothing.
   */
  dies?(path: string): "no" | "nothing" | "part" | "whole";
  /** Told of every body that comes for a name that has its whole body already. */
  onTwice?(path: string): void;
}

interface Kept {
  bytes: Bytes;
  storedAt: number;
  whole: boolean;
}

export class MemoryStore implements Store {
  readonly address = "memory";
  readonly kept = new Map<string, Kept>();
  readonly counts: StoreCounts = { requests: 0, bytesTwice: 0, bytesIn: 0 };

  constructor(private readonly options: MemoryStoreOptions = {}) {}

  async list(folder: string): Promise<Listed[]> {
    this.counts.requests++;
    const prefix = folder === "" ? "" : `${folder}/`;
    const found = new Map<string, Listed>();
    for (const [path, { bytes }] of this.kept) {
      if (!path.startsWith(prefix)) continue;
      const [name, ...below] = path.slice(prefix.length).split("/");
      const isFolder = below.length > 0;
      found.set(name, { name, folder: isFolder, bytes: isFolder ? 0 : bytes.length });
    }
    return [...found.values()];
  }

  async head(path: string): Promise<Head | null> {
    this.counts.requests++;
    const kept = this.kept.get(path);
    return kept
      ? { bytes: kept.bytes.length, storedAt: this.options.now ? kept.storedAt : null }
      : null;
  }

  async get(path: string): Promise<Bytes | null> {
    this.counts.requests++;
    return this.kept.get(path)?.bytes.slice() ?? null;
  }

  async putIfAbsent(path: string, bytes: Bytes): Promise<"stored" | "present"> {
    const { honoursCondition = true } = this.options;
    const present = this.kept.has(path);
    this.write(path, bytes, present && honoursCondition);
    return present && honoursCondition ? "present" : "stored";
  }

  async replace(path: string, bytes: Bytes): Promise<void> {
    this.write(path, bytes, false);
  }

  async delete(path: string): Promise<void> {
    this.counts.requests++;
    this.kept.delete(path);
  }

  private write(path: string, bytes: Bytes, refused: boolean): void {
    this.counts.requests++;
    this.counts.bytesIn += bytes.length;
    const before = this.kept.get(path);
    if (before?.whole) {
      this.counts.bytesTwice += bytes.length;
      this.options.onTwice?.(path);
    }
    const how = this.options.dies?.(path) ?? "no";
    if (!refused && how !== "nothing") {
      const whole = how !== "part";
      const part = bytes.slice(0, whole ? bytes.length : Math.floor(bytes.length / 2));
      this.kept.set(path, { bytes: part, storedAt: this.options.now?.() ?? 0, whole });
    }
    if (how !== "no") throw new StoreFault("unreachable", { address: this.address, reason: how });
  }
}
