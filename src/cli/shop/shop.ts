/**
 * `npm run --silent shop -- <store> [--key file] [--search words] [--csv] [--verify] [--recompute] ...`
 * Exit status 0: done; 1: something is wrong or a verdict would change; 2: the input cannot be used.
 */
import { randomBytes } from "node:crypto";
import { existsSync } from "node:fs";
import { writeFile } from "node:fs/promises";
import { canonicalBytes } from "../../record/canonical.ts";
import { closedRevisionOf } from "../../record/close-revision.ts";
import { csvOf } from "../../record/csv.ts";
import { hashOf } from "../../record/sha256.ts";
import { type Fault, faultSentence, StoreFault } from "../../replicate/faults/faults.ts";
import { type Entry, type Lane, lanes } from "../../replicate/formats/entry.ts";
import type { Removal } from "../../replicate/formats/removal.ts";
import { makeRing } from "../../replicate/keys/ring.ts";
import { keyText, shopKey } from "../../replicate/keys/shop-key.ts";
import {
  Catalogue,
  type ListedRecord,
  recordsIn,
  searchRecords,
} from "../../replicate/sync/catalogue.ts";
import { belongingTo, forgetInStore } from "../../replicate/sync/forget.ts";
import { gather } from "../../replicate/sync/gather.ts";
import { dayOf } from "../../replicate/sync/paths.ts";
import { replicate } from "../../replicate/sync/replicate.ts";
import {
  changeKey,
  getObject,
  openVault,
  readRings,
  type Vault,
} from "../../replicate/sync/vault.ts";
import { readArguments } from "../arguments.ts";
import { UnusableInput } from "../job-folder.ts";
import { orUnusable } from "../refuse.ts";
import { complain, print, printJson } from "../terminal.ts";
import { objectsInArchive } from "./archive-objects.ts";
import { cacheFolder, IndexCache } from "./index-cache.ts";
import { addressOf, cipher, openShop, storeAt } from "./open-store.ts";
import { recomputeRecords } from "./recompute-records.ts";
import { verifyStore } from "./verify-store.ts";

const help = {
  usage:
    "Usage: npm run --silent shop -- <store> [--key <file>] [--search <words>] [--csv | --verify | " +
    "--recompute | --forget | --add <archive> | --tidy | --json]",
  text: `Lists the closed records of all devices of a shop from the store's index, without reading them.

  <store>            a folder, an address (https://user@host/folder), or s3://bucket/folder
  --key <file>       the shop's key file, or the text of an invitation; else SHOP_PHRASE is asked for
  --search <words>   only records that hold all these words
  --csv              one line per check of these records, for the books
  --verify           read every object, also photos, and compare it with its name and seals
  --recompute        measure these records again with this program; says which verdicts would change
  --forget           delete these records, all their revisions and photos for good, on all devices
                     (needs --search)
  --add <archive>    put a record archive into the store, with photos, for instance of the years before
  --tidy             gather the index of past days and months
  --json             the list as one JSON document
  --make-key <file>  make a key file and set up the store with it
  --change-key <file> make a new key after a device was lost; old records stay readable
  --cache <folder>   where the read index is kept (.cache/shop)

In the environment: STORE_PASSWORD for WebDAV; S3_ENDPOINT, AWS_ACCESS_KEY_ID, AWS_SECRET_ACCESS_KEY and
AWS_REGION for S3; SHOP_PHRASE for a shop key from a phrase.

Exit status: 0 done; 1 something is wrong, or a verdict would change; 2 the input cannot be used.`,
};

const flag = { type: "boolean", default: false } as const;
const text = { type: "string" } as const;

const read = readArguments(
  help,
  {
    key: text,
    search: text,
    csv: flag,
    verify: flag,
    recompute: flag,
    forget: flag,
    add: text,
    tidy: flag,
    json: flag,
    "make-key": text,
    "change-key": text,
    cache: { type: "string", default: ".cache/shop" },
  },
  "one store",
);

/** Writes a key that nobody has yet; never over another one. */
async function newKeyFile(path: string) {
  const secret = randomBytes(32);
  const file = { format: "plumbshot-shop-key", version: 1, key: keyText(secret) };
  try {
    await writeFile(path, `${JSON.stringify(file)}\n`, { flag: "wx", mode: 0o600 });
  } catch {
    throw new UnusableInput(`${path} exists already or cannot be written.`);
  }
  return shopKey(new Uint8Array(secret));
}

async function makeKey(written: string, path: string): Promise<number> {
  const store = storeAt(addressOf(written, process.env));
  if ((await readRings(store)).length > 0) {
    throw new UnusableInput("This store has a key already. Use it, or --change-key.");
  }
  const key = await newKeyFile(path);
  await openVault(
    store,
    cipher,
    key,
    await makeRing(cipher, key, [], new Date().toISOString(), null),
  );
  print(
    `${path} is the shop's key. Keep a copy where no fire reaches both: without it nothing opens.`,
  );
  return 0;
}

async function newKey(vault: Vault, path: string): Promise<number> {
  const key = await newKeyFile(path);
  const ring = await makeRing(cipher, key, vault.keys, new Date().toISOString(), null);
  await changeKey(vault, key, ring);
  print(
    `${path} is the shop's key from now on. Add every device again, and change the store's password.`,
  );
  return 0;
}

const lineOf = ({ sha256, summary }: ListedRecord): string =>
  [
    summary.closedAt,
    summary.outcome.padEnd(10),
    [summary.plate, summary.title || summary.vehicle].filter(Boolean).join(" "),
    `revision ${summary.number}`,
    sha256.slice(0, 12),
  ].join("  ");

async function printCsv(vault: Vault, records: readonly ListedRecord[], entries: readonly Entry[]) {
  const byHash = new Map(entries.map((entry) => [entry.sha256, entry]));
  const revisions = [];
  let bad = 0;
  for (const { sha256 } of records) {
    const got = await getObject(vault, byHash.get(sha256)!);
    const sealed = got.ok ? closedRevisionOf(got.bytes, sha256) : null;
    if (sealed) revisions.push(sealed);
    else {
      complain(got.ok ? `Record ${sha256} cannot be read.` : faultSentence(got.fault));
      bad++;
    }
  }
  process.stdout.write(csvOf(revisions));
  return bad > 0 ? 1 : 0;
}

/** Removes records with everything that belongs to them, on all devices. */
async function forget(
  vault: Vault,
  cache: string,
  records: readonly ListedRecord[],
  entries: readonly Entry[],
): Promise<number> {
  const gone = belongingTo(entries, new Set(records.map(({ sha256 }) => sha256)));
  if (gone.length === 0) return 0;
  const removal: Removal = {
    format: "plumbshot-removal",
    version: 1,
    removes: gone.map(({ sha256 }) => sha256),
    removedAt: new Date().toISOString(),
    device: "shop computer",
  };
  const bytes = canonicalBytes(removal);
  const entry = {
    kind: "removal" as const,
    sha256: hashOf(bytes),
    bytes: bytes.length,
    removes: removal.removes,
  };
  await readAll(vault, new IndexCache(cache, [{ entry, bytes }]), lanes);
  const done = await forgetInStore(vault, gone);
  print(
    `${gone.filter(({ kind }) => kind === "record").length} records are removed for good: ${done.objects} objects deleted, ` +
      `${done.indexObjects} index objects written anew. Other devices follow when they replicate.`,
  );
  return 0;
}

/** Puts what an archive holds into the store; what is there already is not sent again. */
async function add(vault: Vault, cache: string, path: string): Promise<number> {
  const { objects, missing } = await objectsInArchive(path);
  const { stored } = await replicate(vault, new IndexCache(cache, objects), {
    now: Date.now,
    photos: true,
    follow: lanes,
  });
  print(
    `${stored} of ${objects.length} objects were new to the store; ` +
      `${missing} photos and files are not in the archive.`,
  );
  return 0;
}

/** Reads what is new in the index; returns all entries, and what is wrong. */
async function readAll(vault: Vault, cache: IndexCache, follow: readonly Lane[]) {
  const { faults } = await replicate(vault, cache, { now: Date.now, photos: true, follow });
  return { entries: await cache.entries(), faults };
}

async function main(): Promise<number> {
  if (!read.ok) return read.status;
  const { values, names } = read;
  const [written] = names;
  if (values["make-key"]) return makeKey(written, values["make-key"]);
  const address = addressOf(written, process.env);
  if (address.kind === "folder" && !existsSync(address.path)) {
    throw new UnusableInput(`${address.path} is missing.`);
  }
  const vault = await openShop(written, values.key);
  if (values["change-key"]) return newKey(vault, values["change-key"]);
  const folder = cacheFolder(values.cache ?? "", vault.store.address, vault.keys[0].id);
  const whole = values.verify || values.recompute || values.forget;
  const { entries, faults } = await readAll(
    vault,
    new IndexCache(folder),
    whole ? lanes : ["shop", "work"],
  );
  faults.forEach(sayFault);
  const records = searchRecords(recordsIn(entries), values.search ?? "");
  const status = faults.some(({ code }) => code !== "device-clock") ? 1 : 0;
  if (values.add) return add(vault, folder, values.add);
  if (values.tidy) return tidy(vault, entries);
  if (values.forget) {
    if (!values.search)
      throw new UnusableInput("Say with --search which records are to be removed.");
    return forget(vault, folder, records, entries);
  }
  if (values.csv) return Math.max(status, await printCsv(vault, records, entries));
  if (values.verify) return Math.max(status, await verify(vault, entries));
  if (values.recompute) return Math.max(status, await recompute(vault, records, entries));
  if (values.json) printJson(records);
  else {
    for (const record of records) print(lineOf(record));
    print(`${records.length} records.`);
  }
  return status;
}

const sayFault = (fault: Fault): void => complain(faultSentence(fault));

async function tidy(vault: Vault, entries: readonly Entry[]): Promise<number> {
  const { removed } = new Catalogue(entries);
  for (const lane of lanes) {
    const { before, after } = await gather(vault, lane, dayOf(Date.now()), removed);
    print(`${lane}: ${before} index objects became ${after}.`);
  }
  return 0;
}

async function verify(vault: Vault, entries: readonly Entry[]): Promise<number> {
  const found = await verifyStore(vault, entries, true, () => undefined);
  for (const line of found.wrong) print(line);
  for (const line of found.incomplete) print(line);
  print(
    `${found.objects} objects read, ${found.records} of them records; ${found.wrong.length} wrong, ` +
      `${found.incomplete.length} records wait for photos.`,
  );
  return found.wrong.length > 0 ? 1 : 0;
}

async function recompute(
  vault: Vault,
  records: readonly ListedRecord[],
  entries: readonly Entry[],
): Promise<number> {
  const { same, changed, notPossible } = await recomputeRecords(vault, records, entries, complain);
  for (const line of changed) print(`Changes: ${line}`);
  for (const line of notPossible) print(`Not possible: ${line}`);
  print(
    `${same} records keep every verdict, ${changed.length} verdicts would change, ` +
      `${notPossible.length} records cannot be measured again.`,
  );
  return changed.length > 0 ? 1 : 0;
}

process.exitCode = await orUnusable(
  async () => {
    try {
      return await main();
    } catch (error) {
      if (error instanceof StoreFault) throw new UnusableInput(error.message);
      throw error;
    }
  },
  () => undefined,
);
