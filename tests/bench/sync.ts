/**
 * `npm run bench:sync [-- --quick] [--seed n]`: ten devices of a shop, three days without a network, a
 * thousand jobs; then they replicate through one store while programs and the store die at random, also
 * in the middle of a write. Half the runs of the store ignore If-None-Match. The last line is one JSON
 * object: `bytes_twice` counts bodies that the store got again for a name that it had as a whole,
 * `in_flight_bytes` the bodies that were under way when somebody died, which it may reach at most. Every
 * body that came twice is laid to a death that had this very object under way, each death answering for
 * one body at most: `twice_without_death` counts those that no death answers for.
 */
import { createHash, webcrypto } from "node:crypto";
import { parseArgs } from "node:util";
import { aesGcm, type Subtle } from "../../src/replicate/keys/aes-gcm.ts";
import { makeRing } from "../../src/replicate/keys/ring.ts";
import { sealLength } from "../../src/replicate/keys/sealed.ts";
import { shopKey } from "../../src/replicate/keys/shop-key.ts";
import { patientStore } from "../../src/replicate/stores/patient.ts";
import type { Bytes } from "../../src/replicate/stores/store.ts";
import { replicate } from "../../src/replicate/sync/replicate.ts";
import { openVault } from "../../src/replicate/sync/vault.ts";

import { MemoryReplica } from "../tools/replicate/memory-replica.ts";
import { MemoryStore } from "../tools/replicate/memory-store.ts";
import { seeded } from "../tools/replicate/seeded.ts";

const { values: flags } = parseArgs({
  options: { quick: { type: "boolean", default: false }, seed: { type: "string", default: "1" } },
});
const devices = 10;
const jobs = flags.quick ? 100 : 1000;
const photosPerJob = flags.quick ? 4 : 20;
const photoBytes = 2_000;
const random = seeded(Number(flags.seed));
const day = 86_400_000;
const begin = Date.parse("2026-11-27T08:00:00Z");
let now = begin;

/** Thrown where a program or its device dies. */
class Death extends Error {}

/** Bytes that nothing else has. */
const bytesNamed = (name: string, length: number): Bytes => {
  const bytes = new Uint8Array(length);
  for (let at = 0, i = 0; at < length; at += 32, i++) {
    const digest = createHash("sha256").update(`${flags.seed} ${name} ${i}`).digest();
    bytes.set(digest.subarray(0, Math.min(32, length - at)), at);
  }
  return bytes;
};

let dying = true;
let deaths = 0;
let inFlightBytes = 0;
const clientDies = 1 / 400;
const storeDies = 1 / 60;

/** An object under way: being written, or written and not yet noted by its device. */
interface UnderWay {
  readonly path: string;
  readonly bytes: number;
}

class WatchedStore extends MemoryStore {
  /** Null before the first write of a replication. */
  underWay: UnderWay | null = null;
  override async putIfAbsent(path: string, bytes: Bytes): Promise<"stored" | "present"> {
    this.underWay = { path, bytes: bytes.length };
    return super.putIfAbsent(path, bytes);
  }
  override async replace(path: string, bytes: Bytes): Promise<void> {
    this.underWay = { path, bytes: bytes.length };
    return super.replace(path, bytes);
  }
}

/** Deaths that have not answered for a second body yet, by the object that was under way. */
const unanswered = new Map<string, number>();
let twice = 0;
let twiceWithoutDeath = 0;

function die(): void {
  deaths++;
  if (!store.underWay) return;
  const { path, bytes } = store.underWay;
  inFlightBytes += bytes;
  unanswered.set(path, (unanswered.get(path) ?? 0) + 1);
}

function cameTwice(path: string): void {
  twice++;
  const left = unanswered.get(path) ?? 0;
  if (left === 0) twiceWithoutDeath++;
  else unanswered.set(path, left - 1);
}

const store: WatchedStore = new WatchedStore({
  now: () => now,
  onTwice: cameTwice,
  honoursCondition: Number(flags.seed) % 2 === 1,
  dies: (path) => {
    if (!dying || path.startsWith("keys/") || random() > storeDies) return "no";
    die();
    return (["nothing", "part", "whole"] as const)[Math.floor(random() * 3)];
  },
});

const key = shopKey(bytesNamed("key", 32));
const cipher = aesGcm(webcrypto.subtle as unknown as Subtle);
const ring = await makeRing(cipher, key, [], new Date(begin).toISOString(), null);
const patient = patientStore(store, { wait: async () => undefined, random, attempts: 2 });
const vault = await openVault(patient, cipher, key, ring);

const replicas = Array.from({ length: devices }, (_, i) => {
  const replica: MemoryReplica = new MemoryReplica(
    `device-${i}`,
    () => true,
    () => {
      if (!dying || random() > clientDies) return;
      // What was stored and not yet written down may be stored again.
      die();
      throw new Death();
    },
  );
  return replica;
});

let expected = 0;
for (let job = 0; job < jobs; job++) {
  const replica = replicas[Math.floor(random() * devices)];
  const record = replica.add("record", bytesNamed(`record ${job}`, 3 * photoBytes), {
    record: {
      record: `job-${job}`,
      number: 1,
      closedAt: new Date(begin + (3 * day * job) / jobs).toISOString(),
      title: `Invented car ${job}`,
      plate: `XX ${job}`,
      vin: "",
      vehicle: "",
      customer: "",
      technician: "",
      outcome: "all meet",
      photos: photosPerJob,
    },
  });
  for (let photo = 0; photo < photosPerJob; photo++) {
    replica.add("photo", bytesNamed(`photo ${job} ${photo}`, photoBytes), { of: record });
  }
  expected += 1 + photosPerJob;
}

const sync = async (replica: MemoryReplica): Promise<void> => {
  now += 60_000;
  store.underWay = null;
  const clock = now;
  await replicate(vault, replica, {
    now: () => clock,
    photos: true,
    follow: ["shop", "work", "photos"],
  });
};

now = begin + 3 * day;
const started = performance.now();
let rounds = 0;
while (replicas.some((replica) => replica.objects.size < expected) && rounds < 2000) {
  rounds++;
  await sync(replicas[Math.floor(random() * devices)]).catch((error: unknown) => {
    if (!(error instanceof Death) && (error as { code?: string }).code !== "unreachable")
      throw error;
  });
}
dying = false;
for (const replica of replicas) await sync(replica);

/** Requests that one more closed job costs the device that closed it. */
const before = store.counts.requests;
replicas[0].add("record", bytesNamed("one more", 6000), {});
for (let i = 0; i < photosPerJob; i++) {
  replicas[0].add("photo", bytesNamed(`one more ${i}`, photoBytes), {});
}
await sync(replicas[0]);
const requestsPerNewJob = store.counts.requests - before;
for (const replica of replicas) await sync(replica);

const digestOf = (replica: MemoryReplica): string => {
  const sum = createHash("sha256");
  for (const [name, bytes] of [...replica.objects].sort(([a], [b]) => (a < b ? -1 : 1))) {
    sum.update(name).update(bytes);
  }
  return sum.digest("hex");
};
const digests = new Set(replicas.map(digestOf));
const total = expected + 1 + photosPerJob;
const lost = replicas.reduce((sum, { objects }) => sum + (total - objects.size), 0);
const wrong = replicas.flatMap(({ objects }) =>
  [...objects].filter(([name, bytes]) => createHash("sha256").update(bytes).digest("hex") !== name),
).length;

console.log(
  `${devices} devices, ${jobs} jobs of ${photosPerJob} photos, ${total} objects; ${deaths} deaths in ` +
    `${rounds} replications, ${((performance.now() - started) / 1000).toFixed(1)} s.`,
);
console.log(
  `The store got ${store.counts.bytesIn} bytes in ${store.counts.requests} requests; ` +
    `${store.kept.size} objects of it hold ${[...store.kept.values()].reduce((s, k) => s + k.bytes.length, 0)}.`,
);
console.log(`${wrong} objects are not what their names stand for (${sealLength} bytes a seal).`);
console.log(
  JSON.stringify({
    devices,
    jobs,
    bytes_twice: store.counts.bytesTwice,
    in_flight_bytes: inFlightBytes,
    deaths,
    twice,
    twice_without_death: twiceWithoutDeath,
    lost,
    identical: digests.size === 1 && wrong === 0,
    requests_per_new_job: requestsPerNewJob,
  }),
);
