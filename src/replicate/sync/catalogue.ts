/** The union of all entries that were read: what is in the store, without reading it. */
import type { Sha256 } from "../../record/sha256.ts";
import type { Entry, RecordSummary } from "../formats/entry.ts";

export class Catalogue {
  private readonly byHash = new Map<Sha256, Entry>();
  private readonly ended = new Set<Sha256>();

  constructor(entries: Iterable<Entry> = []) {
    this.add(entries);
  }

  /** Adds entries; returns those that are new. What a removal ends never comes back. */
  add(entries: Iterable<Entry>): Entry[] {
    const learned: Entry[] = [];
    for (const entry of entries) {
      if (this.byHash.has(entry.sha256) || this.ended.has(entry.sha256)) continue;
      this.byHash.set(entry.sha256, entry);
      learned.push(entry);
      for (const hash of entry.removes ?? []) {
        this.ended.add(hash);
        this.byHash.delete(hash);
      }
    }
    return learned.filter(({ sha256 }) => !this.ended.has(sha256));
  }

  has(hash: Sha256): boolean {
    return this.byHash.has(hash);
  }
  get(hash: Sha256): Entry | undefined {
    return this.byHash.get(hash);
  }
  isRemoved(hash: Sha256): boolean {
    return this.ended.has(hash);
  }
  get removed(): ReadonlySet<Sha256> {
    return this.ended;
  }
  entries(): Entry[] {
    return [...this.byHash.values()];
  }
}

export interface ListedRecord {
  readonly sha256: Sha256;
  readonly summary: RecordSummary;
}

/** Closed records among the entries, the last one closed first. */
export const recordsIn = (entries: Iterable<Entry>): ListedRecord[] =>
  [...entries]
    .flatMap(({ sha256, record }) => (record ? [{ sha256, summary: record }] : []))
    .sort(
      (a, b) =>
        -compare(a.summary.closedAt, b.summary.closedAt) ||
        -compare(String(a.summary.number), String(b.summary.number)) ||
        compare(a.sha256, b.sha256),
    );

const compare = (a: string, b: string): number => (a < b ? -1 : a > b ? 1 : 0);

/** Records that hold every word, wherever; case does not matter. */
export function searchRecords(records: readonly ListedRecord[], words: string): ListedRecord[] {
  const wanted = words.toLowerCase().split(/\s+/).filter(Boolean);
  return records.filter(({ sha256, summary }) => {
    const text = `${sha256} ${Object.values(summary).join(" ")}`.toLowerCase();
    return wanted.every((word) => text.includes(word));
  });
}
