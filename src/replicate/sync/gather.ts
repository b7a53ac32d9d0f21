/**
 * Keeps the index small: a day that is past becomes one object, a month that is past a few. What is
 * gathered is stored and read back before anything is deleted, so that a break in the middle leaves
 * both, which a union does not mind.
 */
import type { Sha256 } from "../../record/sha256.ts";
import type { Entry, Lane } from "../formats/entry.ts";
import { type Covers, joinCovers, mostEntries, newIndexObject } from "../formats/index-object.ts";
import { dayInMonth, daysBefore, isMonth, laneFolder, monthFolder, monthOf } from "./paths.ts";
import { getIndex, type IndexPlace, putIndex, type Vault } from "./vault.ts";

/** Index objects may still come into a day for so long after its end. */
const quietDays = 2;
/** A month is gathered so long after its end. */
const quietAfterMonth = 7;
/** Fewer objects in a day are not worth gathering. */
const worthwhile = 4;

export interface Gathered {
  readonly before: number;
  readonly after: number;
}

/** `today`: the store's day. `removed`: objects whose entries are left out for good. */
export async function gather(
  vault: Vault,
  lane: Lane,
  today: string,
  removed: ReadonlySet<Sha256>,
): Promise<Gathered> {
  const total = { before: 0, after: 0 };
  const put = async (paths: readonly string[], place: IndexPlace): Promise<void> => {
    const done = await replaced(vault, lane, paths, place, removed);
    total.before += done.before;
    total.after += done.after;
  };
  for (const month of await monthsOf(vault, lane)) {
    const byDay = await filesByDay(vault, lane, month);
    byDay.delete("all");
    if (month < monthOf(daysBefore(today, quietAfterMonth))) {
      if (byDay.size > 0) await put([...byDay.values()].flat(), { month, day: "all" });
      continue;
    }
    for (const [day, paths] of byDay) {
      const isQuiet = `${month}-${day}` < daysBefore(today, quietDays);
      if (isQuiet && paths.length >= worthwhile) await put(paths, { month, day });
    }
  }
  return total;
}

const monthsOf = async (vault: Vault, lane: Lane): Promise<string[]> =>
  (await vault.store.list(laneFolder(lane)))
    .filter(({ name, folder }) => folder && isMonth(name))
    .map(({ name }) => name);

/** Paths of a month's index objects by day. */
async function filesByDay(vault: Vault, lane: Lane, month: string): Promise<Map<string, string[]>> {
  const folder = monthFolder(lane, month);
  const byDay = new Map<string, string[]>();
  for (const { name } of await vault.store.list(folder)) {
    const day = dayInMonth(name);
    byDay.set(day, [...(byDay.get(day) ?? []), `${folder}/${name}`]);
  }
  return byDay;
}

/** Writes the index anew without the entries of removed objects, wherever one of them is named. */
export async function forgetInIndex(
  vault: Vault,
  lane: Lane,
  removed: ReadonlySet<Sha256>,
): Promise<number> {
  let changed = 0;
  for (const month of await monthsOf(vault, lane)) {
    for (const [day, paths] of await filesByDay(vault, lane, month)) {
      for (const path of paths) {
        const got = await getIndex(vault, lane, path);
        if (!got?.ok || !got.index.entries.some(({ sha256 }) => removed.has(sha256))) continue;
        await replaced(vault, lane, [path], { month, day }, removed);
        changed++;
      }
    }
  }
  return changed;
}

/** Puts new index objects in the place of old ones; those that cannot be read are left alone. */
async function replaced(
  vault: Vault,
  lane: Lane,
  paths: readonly string[],
  place: IndexPlace,
  removed: ReadonlySet<Sha256>,
): Promise<Gathered> {
  const entries = new Map<Sha256, Entry>();
  const covers: Covers[] = [];
  const gathers: Sha256[] = [];
  const read: string[] = [];
  for (const path of paths) {
    const got = await getIndex(vault, lane, path);
    if (!got?.ok) continue;
    read.push(path);
    gathers.push(got.sha256);
    covers.push(got.index.covers);
    for (const entry of got.index.entries) {
      if (!removed.has(entry.sha256)) entries.set(entry.sha256, entry);
    }
  }
  if (read.length === 0) return { before: 0, after: 0 };
  // In one order, so that two devices that gather the same make the same objects.
  const sorted = [...entries.values()].sort((a, b) => (a.sha256 < b.sha256 ? -1 : 1));
  const written = new Set<string>();
  for (let from = 0; from === 0 || from < sorted.length; from += mostEntries) {
    const index = newIndexObject({
      lane,
      covers: joinCovers(covers),
      gathers: from === 0 ? gathers.sort() : [],
      entries: sorted.slice(from, from + mostEntries),
    });
    const { path } = await putIndex(vault, lane, index, place);
    const back = await getIndex(vault, lane, path);
    if (!back?.ok) return { before: 0, after: 0 };
    written.add(path);
  }
  for (const path of read) if (!written.has(path)) await vault.store.delete(path);
  return { before: read.length, after: written.size };
}
