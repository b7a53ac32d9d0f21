/**
 * Deletion for good, in the store: the removal itself is stored first and stays, so that a device that
 * comes back after a year neither keeps nor stores again what was removed; then the objects and every
 * word about them in the index go.
 */
import type { Sha256 } from "../../record/sha256.ts";
import { type Entry, type Lane, laneOf, lanes } from "../formats/entry.ts";
import { forgetInIndex } from "./gather.ts";
import { deleteObject, type Vault } from "./vault.ts";

/**
 * Everything that goes with records: all revisions of their jobs, signatures, photos, files. Revisions of
 * one job rest on the same photos, so that none of them can go alone.
 */
export function belongingTo(entries: readonly Entry[], records: ReadonlySet<Sha256>): Entry[] {
  const jobs = new Set(
    entries.flatMap(({ sha256, record }) => (record && records.has(sha256) ? [record.record] : [])),
  );
  const revisions = new Set<string>(
    entries.flatMap(({ sha256, record }) => (record && jobs.has(record.record) ? [sha256] : [])),
  );
  return entries.filter(
    ({ sha256, of }) => revisions.has(sha256) || (of !== undefined && revisions.has(of)),
  );
}

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
