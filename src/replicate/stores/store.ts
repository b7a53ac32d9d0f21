/**
 * What a store must be able to do: keep bytes under names in folders. Nothing else is asked of it: no
 * program of ours runs there, and what it answers is believed only as far as seals and names prove it.
 */
import type { StoreFault } from "../faults/faults.ts";

export type Bytes = Uint8Array<ArrayBuffer>;

export interface Listed {
  /** Without the folder. */
  readonly name: string;
  readonly folder: boolean;
  /** 0 for folders. */
  readonly bytes: number;
}

/** What the store says of an object without its bytes. */
export interface Head {
  readonly bytes: number;
  /** When it was stored by the store's own clock, ms since 1970; null where it does not say. */
  readonly storedAt: number | null;
}

/** Paths are names joined by "/", without one at either end. Every call may throw {@link StoreFault}. */
export interface Store {
  /** As a person knows it. */
  readonly address: string;
  /** What lies directly in a folder; empty where there is no such folder. */
  list(folder: string): Promise<Listed[]>;
  /** Null where there is no such object. */
  head(path: string): Promise<Head | null>;
  get(path: string): Promise<Bytes | null>;
  /**
   * Stores it unless something is there. A store that ignores the condition writes over it, which
   * changes nothing: equal names hold equal bytes.
   */
  putIfAbsent(path: string, bytes: Bytes): Promise<"stored" | "present">;
  /** Writes over what is there: for what proved to be half an object. */
  replace(path: string, bytes: Bytes): Promise<void>;
  /** No fault where there is none. */
  delete(path: string): Promise<void>;
}

export type { StoreFault };
