/**
 * `npm run docs:growth`: works out what a store grows to and writes it into src/replicate/GROWTH.md; the
 * measured part replicates small shops in memory and counts what the store was asked.
 */
import { webcrypto } from "node:crypto";
import { writeFileSync } from "node:fs";
import { aesGcm, type Subtle } from "../../src/replicate/keys/aes-gcm.ts";
import { makeRing } from "../../src/replicate/keys/ring.ts";
import { shopKey } from "../../src/replicate/keys/shop-key.ts";
import { gather } from "../../src/replicate/sync/gather.ts";
import { dayOf } from "../../src/replicate/sync/paths.ts";
import { replicate } from "../../src/replicate/sync/replicate.ts";
import { openVault } from "../../src/replicate/sync/vault.ts";
import { type Growth, growthOf, indexBytes, photoEntry, recordEntry } from "./replicate/growth.ts";
import { MemoryReplica } from "./replicate/memory-replica.ts";
import { MemoryStore } from "./replicate/memory-store.ts";

const dayMs = 86_400_000;
const begin = Date.parse("2026-01-05T08:00:00Z");

interface Counted {
  readonly vans: number;
  readonly days: number;
  /** Requests of one van for a replication with one new job, on the first and on the last day. */
  readonly first: number;
  readonly last: number;
  readonly nothingNew: number;
  readonly fresh: number;
}

/** Replicates a small shop for some days, gathering its index every day. */
async function counted(vans: number, days: number, photos: number): Promise<Counted> {
  let now = begin;
  const store = new MemoryStore({ now: () => now });
  const cipher = aesGcm(webcrypto.subtle as unknown as Subtle);
  const key = shopKey(new Uint8Array(32).fill(1));
  const ring = await makeRing(cipher, key, [], new Date(begin).toISOString(), null);
  await openVault(store, cipher, key, ring);
  let name = 0;
  const bytes = () => new TextEncoder().encode(`object ${name++}`) as Uint8Array<ArrayBuffer>;
  const sync = async (replica: MemoryReplica, follow: readonly ("shop" | "work" | "photos")[]) => {
    const before = store.counts.requests;
    const vault = await openVault(store, cipher, key, null);
    await replicate(vault, replica, { now: () => now, photos: true, follow });
    return store.counts.requests - before;
  };
  const all = Array.from({ length: vans }, (_, i) => new MemoryReplica(`van-${i}`, () => false));
  let first = 0;
  let last = 0;
  for (let day = 0; day < days; day++) {
    now = begin + day * dayMs;
    for (const [i, van] of all.entries()) {
      const record = { ...recordEntry.record!, number: 1, title: `job ${day} ${i}` };
      van.add("record", bytes(), { record });
      for (let photo = 0; photo < photos; photo++) van.add("photo", bytes());
      const requests = await sync(van, ["shop"]);
      if (day === 0 && i === vans - 1) first = requests;
      if (day === days - 1 && i === vans - 1) last = requests;
    }
    const vault = await openVault(store, cipher, key, null);
    for (const lane of ["work", "photos"] as const)
      await gather(vault, lane, dayOf(now), new Set());
  }
  const nothingNew = await sync(all[0], ["shop"]);
  const fresh = await sync(new MemoryReplica("fresh", () => false), ["shop", "work"]);
  return { vans, days, first, last, nothingNew, fresh };
}

const number = (value: number): string => Math.round(value).toLocaleString("en");
const size = (bytes: number): string => {
  const units = ["B", "kB", "MB", "GB", "TB", "PB"];
  const step = Math.min(units.length - 1, Math.floor(Math.log10(Math.max(1, bytes)) / 3));
  return `${(bytes / 1000 ** step).toPrecision(3)} ${units[step]}`;
};

const years = 3;
const common = {
  jobsPerDay: 10,
  photosPerJob: 20,
  photoBytes: 4_000_000,
  recordBytes: 60_000,
  days: 365 * years,
  syncsPerDay: 10,
};
const shops = [3, 30, 1000].map((vans) => ({ ...common, vans }));
const grown: Growth[] = shops.map(growthOf);
const row = (title: string, show: (growth: Growth) => string): string =>
  `| ${title} | ${grown.map(show).join(" | ")} |`;

/** Prices to be filled in by the reader's own provider: round numbers, not an offer of anybody. */
const price = { gigabyteMonth: 0.02, thousandWrites: 0.005, thousandReads: 0.0004 };
const stored = (growth: Growth): number => (growth.bytes / 1e9) * price.gigabyteMonth;
const asked = (growth: Growth, vans: number): number =>
  30 *
  ((vans * common.jobsPerDay * (1 + common.photosPerJob) * price.thousandWrites) / 1000 +
    (vans * growth.vanRequestsShopOnly * price.thousandReads) / 1000);

const small = [await counted(3, 10, 5), await counted(3, 60, 5), await counted(12, 60, 5)];

const text = `# What a store grows to

Written by \`npm run docs:growth\`; sizes of entries and index objects are those of objects that were
made and measured, requests of small shops were counted by replicating them in memory.

## On paper: ${common.jobsPerDay} jobs a van and day, ${common.photosPerJob} photos of ${size(common.photoBytes)}, ${years} years

| vans | ${shops.map(({ vans }) => number(vans)).join(" | ")} |
| --- | ${shops.map(() => "---:").join(" | ")} |
${row("closed records", ({ jobs }) => number(jobs))}
${row("objects", ({ objects }) => number(objects))}
${row("bytes, nothing deleted", ({ bytes }) => size(bytes))}
${row("index objects, gathered", ({ indexObjectsGathered }) => number(indexObjectsGathered))}
${row("index of all records", ({ indexBytesOfRecords }) => size(indexBytesOfRecords))}
${row("index objects of one day, before they are gathered", (growth) => number(growth.indexObjectsOfDay))}
${row("requests of a van in a day that follows the shop lane only", (growth) => number(growth.vanRequestsShopOnly))}
${row("requests of a device in a day that follows all records", (growth) => number(growth.vanRequestsAll))}
${row("bytes of one listing of a day's record index", (growth) => size(growth.listingBytesOfDay))}
${row("storage a month at the end, in units of money", (growth) => number(stored(growth)))}
| requests a month, in units of money | ${grown.map((growth, i) => number(asked(growth, shops[i].vans))).join(" | ")} |

Prices are round numbers to be replaced by those of one's own provider: ${price.gigabyteMonth} a gigabyte and month,
${price.thousandWrites} a thousand writes, ${price.thousandReads} a thousand reads (from memory, no provider's offer).
An entry of a record takes ${number(indexBytes(recordEntry, 1000) / 1000)} bytes, one of a photo ${number(indexBytes(photoEntry, 1000) / 1000)}.

- The photos are the cost: all else together is less than a thousandth of the bytes.
- With 1,000 vans nobody should follow all records on a phone. Vans follow the shop lane (the app's choice
  "leave in the store"); the shop's computer follows the records and reads them from the gathered index.
- A day's index of 1,000 vans is read once by the computer that gathers it: \`npm run shop -- <store> --tidy\`
  once a day keeps the month's folder at some lines a day.

## Counted: what a replication asks, by the size of the shop and the days behind it

| vans | days | one new job of 5 photos, first day | the same, last day | nothing new | fresh device, all records |
| ---: | ---: | ---: | ---: | ---: | ---: |
${small.map((one) => `| ${one.vans} | ${one.days} | ${one.first} | ${one.last} | ${one.nothingNew} | ${one.fresh} |`).join("\n")}

On its first day a device asks of each of its objects whether it is there already; after that a new job costs
the same after 10 days as after 60: listing stays with what is new. What a fresh device asks grows with the months and the days that are not gathered yet, not with the records.

## Retention

Nothing is deleted by itself. \`npm run shop -- <store> --search <words> --forget\`, or "Deleted on this phone,
still in the store" in the app, removes records with their photos for good: a removal of some 70 bytes a
hash stays, so that no device brings them back. A store's own snapshots and backups are outside of this:
set how long they live where they are made.
`;
writeFileSync("src/replicate/GROWTH.md", text);
console.log(text);
