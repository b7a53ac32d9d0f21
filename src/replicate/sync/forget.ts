/**
 * Deletion for good, in the store: the removal itself is stored first and stays, so that a device that
 * comes back after a year neither keeps nor stores again what was removed; then the objects and every
 * word about them in the index go.
 */
import type { Sha256 } from "../../record/sha256.ts";
import { type Entry, type Lane, laneOf, lanes } from "../formats/entry.ts";
import { forgetInIndex } from "./gather.ts";
import { deleteObject, type Vault } from "./vault.ts";

/** To be called after the removals were stored by a replication; safe to call again after a break. */
export async function forgetInStore(
  vault: Vault,
  gone: readonly Entry[],
): Promise<{ readonly objects: number; readonly indexObjects: number }> {
  const removed = new Set<Sha256>(gone.map(({ sha256 }) => sha256));
  for (const entry of gone) await deleteObject(vault, entry);
  let indexObjects = 0;
  const touched = new Set<Lane>(gone.map(({ kind }) => laneOf(kind)));
  for (const lane of lanes) {
    if (touched.has(lane)) indexObjects += await forgetInIndex(vault, lane, removed);
  }
  return { objects: gone.length, indexObjects };
}
