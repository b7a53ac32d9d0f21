/**
 * What the shop's computer has learnt of a store: entries as lines, so that the next list reads what is
 * new and nothing else. Losing it costs one long reading.
 */
import { createHash, randomBytes } from "node:crypto";
import { appendFile, mkdir, readFile, rename, writeFile } from "node:fs/promises";
import { dirname, join } from "node:path";
import type { Sha256 } from "../../record/sha256.ts";
import { type Entry, entrySchema } from "../../replicate/formats/entry.ts";
import type { Outgoing, Replica } from "../../replicate/sync/replica.ts";
import type { ReplicaState } from "../../replicate/sync/state.ts";

/** One folder for each store and key. */
export const cacheFolder = (base: string, address: string, keyId: string): string =>
  join(base, createHash("sha256").update(`${address} ${keyId}`).digest("hex").slice(0, 16));

export class IndexCache implements Replica {
  private known: Map<Sha256, Entry> | null = null;
  private readonly entriesFile: string;
  private readonly stateFile: string;

  constructor(
    folder: string,
    readonly own: readonly {
      readonly entry: Outgoing;
      readonly bytes: Uint8Array<ArrayBuffer>;
    }[] = [],
  ) {
    this.entriesFile = join(folder, "entries.jsonl");
    this.stateFile = join(folder, "state.json");
  }

  newDevice(): string {
    return randomBytes(12).toString("hex");
  }

  async loadState(): Promise<unknown> {
    // Without its entries the state would hide what is to be read again.
    if ((await this.load()).size === 0) return null;
    try {
      return JSON.parse(await readFile(this.stateFile, "utf8"));
    } catch {
      return null;
    }
  }

  async saveState(state: ReplicaState, learned: readonly Entry[]): Promise<void> {
    const known = await this.load();
    await mkdir(dirname(this.stateFile), { recursive: true });
    // Entries first: a state that knows of them must not stand alone.
    if (learned.length > 0) {
      // A line begins anew, whatever a broken-off write left before it.
      const lines = learned.map((entry) => `\n${JSON.stringify(entry)}`);
      await appendFile(this.entriesFile, lines.join(""), { mode: 0o600 });
      for (const entry of learned) known.set(entry.sha256, entry);
    }
    await this.write(this.stateFile, JSON.stringify(state));
  }

  async entries(): Promise<readonly Entry[]> {
    return [...(await this.load()).values()];
  }

  async outgoing(): Promise<readonly Outgoing[]> {
    return this.own.map(({ entry }) => entry);
  }

  async read(sha256: Sha256): Promise<Uint8Array<ArrayBuffer> | null> {
    return this.own.find(({ entry }) => entry.sha256 === sha256)?.bytes ?? null;
  }

  /** A list needs no objects. */
  async lacks(): Promise<boolean> {
    return false;
  }

  async take(): Promise<void> {}

  async remove(hashes: readonly Sha256[]): Promise<void> {
    const known = await this.load();
    for (const hash of hashes) known.delete(hash);
    const lines = [...known.values()].map((entry) => `${JSON.stringify(entry)}\n`);
    await mkdir(dirname(this.entriesFile), { recursive: true });
    await this.write(this.entriesFile, lines.join(""));
  }

  /** A line that cannot be read is left out: the last one may be half written. */
  private async load(): Promise<Map<Sha256, Entry>> {
    if (this.known) return this.known;
    this.known = new Map();
    let text = "";
    try {
      text = await readFile(this.entriesFile, "utf8");
    } catch {
      // Nothing was learnt yet.
    }
    for (const line of text.split("\n")) {
      const entry = entryIn(line);
      if (entry) this.known.set(entry.sha256, entry);
    }
    return this.known;
  }

  private async write(file: string, text: string): Promise<void> {
    const draft = `${file}.${randomBytes(4).toString("hex")}`;
    await writeFile(draft, text, { mode: 0o600 });
    await rename(draft, file);
  }
}

function entryIn(line: string): Entry | null {
  if (line === "") return null;
  try {
    return entrySchema.parse(JSON.parse(line));
  } catch {
    return null;
  }
}
