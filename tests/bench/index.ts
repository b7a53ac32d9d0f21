/**
 * `npm run bench:index [-- --records n]`: a shop's computer lists the records of a store in a folder by
 * the store's index: the first time all of it, the next time what is new. Records are never read. The
 * last line is one JSON object; files are read from this machine's disk cache.
 */
import { createHash } from "node:crypto";
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { parseArgs } from "node:util";
import { IndexCache } from "../../src/cli/shop/index-cache.ts";
import { cipher } from "../../src/cli/shop/open-store.ts";
import { folderStore } from "../../src/cli/stores/folder-store.ts";
import type { Sha256 } from "../../src/record/sha256.ts";
import type { Entry } from "../../src/replicate/formats/entry.ts";
import { mostEntries, newIndexObject } from "../../src/replicate/formats/index-object.ts";
import { makeRing } from "../../src/replicate/keys/ring.ts";
import { shopKey } from "../../src/replicate/keys/shop-key.ts";
import { recordsIn, searchRecords } from "../../src/replicate/sync/catalogue.ts";
import { replicate } from "../../src/replicate/sync/replicate.ts";
import { openVault, putIndex } from "../../src/replicate/sync/vault.ts";

const { values: flags } = parseArgs({
  options: { records: { type: "string", default: "100000" } },
});
const count = Number(flags.records);
const folder = mkdtempSync(join(tmpdir(), "plumbshot-index-"));
const begin = Date.parse("2024-01-01T08:00:00Z");
const end = Date.parse("2026-11-30T08:00:00Z");

const entryOf = (i: number, keyId: string): Entry => {
  const closed = new Date(begin + ((end - begin) * i) / count).toISOString();
  return {
    kind: "record",
    sha256: createHash("sha256").update(`record ${i}`).digest("hex") as Sha256,
    bytes: 60_000,
    key: keyId,
    record: {
      record: createHash("sha256").update(`job ${i}`).digest("hex").slice(0, 24),
      number: 1,
      closedAt: closed,
      title: `Invented car ${i % 997}`,
      plate: `XX ${i}`,
      vin: `INVENTED${String(i).padStart(9, "0")}`,
      vehicle: "Invented car, windscreen",
      customer: `Invented person ${i % 5003}`,
      technician: `Invented technician ${i % 7}`,
      outcome: i % 9 === 0 ? "not proven" : "all meet",
      photos: 20,
    },
  };
};

try {
  const store = folderStore(folder);
  const key = shopKey(new Uint8Array(32).fill(3));
  const ring = await makeRing(cipher, key, [], new Date(begin).toISOString(), null);
  const vault = await openVault(store, cipher, key, ring);
  const put = async (from: number, to: number, day: string): Promise<void> => {
    const entries = Array.from({ length: to - from }, (_, i) => entryOf(from + i, key.id));
    const covers = { device: [[1, Math.ceil(to / mostEntries)] as [number, number]] };
    const index = newIndexObject({ lane: "work", covers, entries });
    const month = entries[0].record!.closedAt.slice(0, 7);
    await putIndex(vault, "work", index, { month, day });
  };
  for (let from = 0; from < count; from += mostEntries) {
    await put(from, Math.min(count, from + mostEntries), "all");
  }
  const list = async () => {
    // A fresh start of the program each time: nothing is kept in memory.
    const cache = new IndexCache(join(folder, "cache"));
    const started = performance.now();
    const { faults } = await replicate(vault, cache, {
      now: () => end,
      photos: true,
      follow: ["shop", "work"],
    });
    const records = recordsIn(await cache.entries());
    return { ms: performance.now() - started, records, faults: faults.length };
  };
  const first = await list();
  await put(count, count + 10, "30");
  const next = await list();
  const started = performance.now();
  const found = searchRecords(next.records, "person 17 not proven").length;
  const searchMs = performance.now() - started;
  console.log(
    `First list ${first.records.length} records in ${first.ms.toFixed(0)} ms; after ten more ` +
      `${next.records.length} in ${next.ms.toFixed(0)} ms; a search of three words ` +
      `${searchMs.toFixed(0)} ms, ${found} found; ${first.faults + next.faults} faults.`,
  );
  if (next.records.length !== count + 10) {
    throw new Error("Not all records were listed.");
  }
  console.log(
    JSON.stringify({
      records: next.records.length,
      first_list_ms: Math.round(first.ms),
      next_list_ms: Math.round(next.ms),
      search_ms: Math.round(searchMs),
    }),
  );
} finally {
  rmSync(folder, { recursive: true, force: true });
}
