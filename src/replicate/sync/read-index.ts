/**
 * Reads what is new in a lane's index: the months since the last time are listed, and those that were
 * never seen; all of them once a week, for what a device with a wrong clock wrote elsewhere.
 */
import type { Fault } from "../faults/faults.ts";
import type { Entry, Lane } from "../formats/entry.ts";
import { type Covers, gapsIn, type IndexObject, joinCovers } from "../formats/index-object.ts";
import { dayInMonth, daysBefore, isMonth, laneFolder, monthFolder, monthOf } from "./paths.ts";
import type { LaneState } from "./state.ts";
import { getIndex, type Vault } from "./vault.ts";

/** An index object may still come into a day that has just ended. */
const overlapDays = 2;
const fullAfterMs = 7 * 86_400_000;

export interface ReadIndex {
  readonly state: LaneState;
  readonly entries: readonly Entry[];
  readonly faults: readonly Fault[];
  /** The newest day that the store has. */
  readonly newestDay: string | null;
}

/** `now`: ms since 1970 by this device's clock; `today`: the store's day, as far as it is known. */
export async function readIndex(
  vault: Vault,
  lane: Lane,
  state: LaneState,
  now: number,
  today: string,
): Promise<ReadIndex> {
  const full = Math.abs(now - state.fullAt) > fullAfterMs;
  const read = new Reading(vault, lane);
  const listed = (await vault.store.list(laneFolder(lane)))
    .filter(({ name, folder }) => folder && isMonth(name))
    .map(({ name }) => name)
    .sort();
  const since = state.cursor && monthOf(daysBefore(state.cursor, overlapDays));
  const months: Record<string, string[]> = {};
  let newestDay: string | null = null;
  for (const month of listed) {
    const seen = state.months[month];
    const isPast = since !== null && month < since && seen !== undefined;
    months[month] = isPast && !full ? seen : await read.month(month, seen ?? []);
    newestDay = newestDayIn(month, months[month]) ?? newestDay;
  }
  const covers = joinCovers([state.covers, ...read.covers]);
  const gaps = gapsIn(covers);
  const gapNames = gaps.map(({ device, number }) => `${device}/${number}`);
  const said = gaps.filter((_, i) => state.gaps.includes(gapNames[i]));
  return {
    state: {
      ...state,
      months,
      covers,
      gaps: gapNames,
      cursor: newestDay !== null && newestDay <= today ? newestDay : (state.cursor ?? today),
      fullAt: full ? now : state.fullAt,
    },
    entries: read.entries,
    faults: [...read.faults, ...said.map((values) => ({ code: "gap" as const, values }))],
    newestDay,
  };
}

/** The newest day of a month's index objects; null where they name none. */
function newestDayIn(month: string, names: readonly string[]): string | null {
  const days = names.map(dayInMonth).filter((day) => /^\d\d$/.test(day));
  return days.length === 0 ? null : `${month}-${days.sort().at(-1)}`;
}

/** Index objects opened one after the other. */
class Reading {
  readonly entries: Entry[] = [];
  readonly covers: Covers[] = [];
  readonly faults: Fault[] = [];

  constructor(
    private readonly vault: Vault,
    private readonly lane: Lane,
  ) {}

  /** Reads a month's index objects that were not seen; returns the names of all that are read. */
  async month(month: string, seen: readonly string[]): Promise<string[]> {
    const folder = monthFolder(this.lane, month);
    const done = new Set(seen);
    for (let round = 0; ; round++) {
      const names = (await this.vault.store.list(folder)).map(({ name }) => name);
      const gone = await this.all(folder, names, done);
      // One was gathered since it was listed: what it said is in another one now.
      if (!gone || round >= 3) return names.filter((name) => done.has(name));
    }
  }

  /** True where one of them is there no longer. */
  private async all(folder: string, names: readonly string[], done: Set<string>): Promise<boolean> {
    let gone = false;
    for (const name of names) {
      if (done.has(name)) continue;
      const got = await getIndex(this.vault, this.lane, `${folder}/${name}`);
      if (got === null) gone = true;
      else if (!got.ok) this.faults.push(got.fault);
      else {
        done.add(name);
        this.take(got.index);
      }
    }
    return gone;
  }

  private take(index: IndexObject): void {
    for (const entry of index.entries) this.entries.push(entry);
    this.covers.push(index.covers);
  }
}
