/**
 * Looks after what the store should have: an object that is missing there, of another length or, where
 * bodies are read back, not what its name stands for, is stored anew by a device that has it. Asks one
 * question for each object of this device.
 */

import type { Replica } from "./replica.ts";
import { getObject, rewriteObject, storedWhole, type Vault } from "./vault.ts";

export interface HowToRepair {
  /** True reads every body back and proves it: finds what is damaged at its full length. */
  readonly readBack?: boolean;
  onProgress?(done: number, of: number): void;
}

export interface Repaired {
  /** Objects that this device has and the store should have. */
  readonly looked: number;
  /** Of these, written again. */
  readonly mended: number;
  /** Named in the index and not on this device: another one has to look after them. */
  readonly elsewhere: number;
}

export async function repair(
  vault: Vault,
  replica: Pick<Replica, "entries" | "read">,
  { readBack = false, onProgress }: HowToRepair = {},
): Promise<Repaired> {
  const done = { looked: 0, mended: 0, elsewhere: 0 };
  const entries = await replica.entries();
  for (const [at, entry] of entries.entries()) {
    onProgress?.(at, entries.length);
    const { sha256, bytes, key } = entry;
    const own = vault.keys.some(({ id }) => id === key) ? await replica.read(sha256) : null;
    if (!own) {
      done.elsewhere++;
      continue;
    }
    done.looked++;
    const sound = readBack
      ? (await getObject(vault, entry)).ok
      : (await storedWhole(vault, sha256, bytes, key)) !== null;
    if (sound) continue;
    await rewriteObject(vault, entry, own);
    done.mended++;
  }
  return done;
}
