/**
 * What a store grows to, worked out from the sizes that the formats really have: entries, index objects
 * and listings are made and measured, not guessed. Pure arithmetic besides; all inputs are named.
 */
import { canonicalBytes } from "../../../src/record/canonical.ts";
import type { Sha256 } from "../../../src/record/sha256.ts";
import type { Entry } from "../../../src/replicate/formats/entry.ts";
import { mostEntries, newIndexObject } from "../../../src/replicate/formats/index-object.ts";
import { sealLength } from "../../../src/replicate/keys/sealed.ts";

export interface Shop {
  readonly vans: number;
  readonly jobsPerDay: number;
  readonly photosPerJob: number;
  readonly photoBytes: number;
  readonly recordBytes: number;
  readonly days: number;
  /** Replications of a van in a day. */
  readonly syncsPerDay: number;
}

const hash = (digit: string): Sha256 => digit.repeat(64) as Sha256;

const recordEntry: Entry = {
  kind: "record",
  sha256: hash("a"),
  bytes: 60_000,
  key: "01234567",
  record: {
    record: "0123456789abcdef01234567",
    number: 1,
    closedAt: "2026-11-30T12:00:00+01:00",
    title: "Invented car, windscreen",
    plate: "XX 123 YY",
    vin: "INVENTED000000001",
    vehicle: "Invented car, windscreen",
    customer: "Invented person of some length",
    technician: "Invented technician",
    outcome: "not proven",
    photos: 20,
  },
};
const photoEntry: Entry = {
  kind: "photo",
  sha256: hash("b"),
  bytes: 4_000_000,
  key: "01234567",
  of: hash("a"),
};

/** Bytes of an index object with so many entries, as the store has it. */
const indexBytes = (entry: Entry, count: number): number =>
  sealLength +
  canonicalBytes(
    newIndexObject({
      lane: entry.kind === "photo" ? "photos" : "work",
      covers: { "0123456789abcdef01234567": [[1, 1]] },
      entries: Array.from({ length: count }, () => entry),
    }),
  ).length;

/** A line of an S3 listing, some 330 bytes of XML; a page has 1,000 of them. */
const listingLine = 330;
const listingPage = 1000;

export interface Growth {
  readonly jobs: number;
  readonly objects: number;
  readonly bytes: number;
  readonly indexObjectsGathered: number;
  readonly indexBytesOfRecords: number;
  /** Requests of a van in a day: own objects, own index, listings; others' index only where followed. */
  readonly vanRequestsShopOnly: number;
  readonly vanRequestsAll: number;
  readonly listingBytesOfDay: number;
  /** Index objects of one day before they are gathered. */
  readonly indexObjectsOfDay: number;
}

export function growthOf(shop: Shop): Growth {
  const jobsADay = shop.vans * shop.jobsPerDay;
  const jobs = jobsADay * shop.days;
  const objects = jobs * (1 + shop.photosPerJob);
  const bytes = jobs * (shop.recordBytes + shop.photosPerJob * shop.photoBytes);
  const photos = jobs * shop.photosPerJob;
  const gathered = Math.ceil(jobs / mostEntries) + Math.ceil(photos / mostEntries);
  const perIndex = indexBytes(recordEntry, mostEntries);
  // Each replication with something new writes one index object for records and one for photos.
  const writes = Math.min(shop.syncsPerDay, shop.jobsPerDay);
  const photoIndexes = Math.max(writes, Math.ceil((shop.jobsPerDay * shop.photosPerJob) / 25));
  const ofDay = shop.vans * (writes + photoIndexes);
  const pages = (count: number): number => Math.max(1, Math.ceil(count / listingPage));
  const own = shop.jobsPerDay * (1 + shop.photosPerJob) + writes + photoIndexes + shop.syncsPerDay;
  // Keys: a listing and a body; each lane: months, and this month.
  const basis = shop.syncsPerDay * 2;
  const monthObjects = shop.vans * writes * 3 + 30;
  return {
    jobs,
    objects,
    bytes,
    indexObjectsGathered: gathered,
    indexBytesOfRecords: Math.ceil(jobs / mostEntries) * perIndex,
    vanRequestsShopOnly: own + basis + shop.syncsPerDay * 2,
    vanRequestsAll:
      own + basis + shop.syncsPerDay * (2 + 1 + pages(monthObjects)) + shop.vans * writes,
    listingBytesOfDay: shop.vans * writes * listingLine,
    indexObjectsOfDay: ofDay,
  };
}

export { indexBytes, photoEntry, recordEntry };
