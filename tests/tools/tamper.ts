/**
 * Ways to tamper with a record archive, each with the file that a verifier has to name. Used by the
 * test and by the bench.
 */
import { bytesAsSource } from "../../src/record/archive/byte-source.ts";
import { openArchive } from "../../src/record/archive/read-archive.ts";
import { revisionFileName } from "../../src/record/archive/record-files.ts";
import { archivePieces } from "../../src/record/archive/write-archive.ts";
import { canonicalBytes, type Json } from "../../src/record/canonical.ts";
import { sealsOf } from "../../src/record/seals.ts";
import { hashOf } from "../../src/record/sha256.ts";
import { verifyArchive } from "../../src/record/verify/verify-archive.ts";
import { inventedArchive, inventedRevisions, newKey, signedBy } from "./invented-record.ts";

export interface TamperCase {
  readonly what: string;
  readonly bytes: Uint8Array;
  /** One of these files must be named; null stands for the archive's end or a missing revision. */
  readonly expected: readonly (string | null)[];
}

export interface TamperCount {
  readonly cases: number;
  readonly named: number;
  /** Cases that nobody noticed, or whose place was not named. */
  readonly missed: readonly string[];
}

/** A small generator with a fixed seed, so that a failure can be repeated (mulberry32). */
function random(seed: number): () => number {
  let state = seed;
  return () => {
    state = (state + 0x6d2b79f5) | 0;
    let t = Math.imul(state ^ (state >>> 15), 1 | state);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
}

/** Which file a byte of the archive belongs to, headers and directory lines included. */
async function ownerOf(bytes: Uint8Array): Promise<(at: number) => string | null> {
  const { files } = (await openArchive(bytesAsSource(bytes)))!;
  const owners: [number, string | null][] = [];
  const length = (name: string) => new TextEncoder().encode(name).length;
  for (const { name, from } of files) owners.push([from - 30 - length(name), name]);
  const last = files.at(-1)!;
  let at = last.from + last.size;
  for (const { name } of files) {
    owners.push([at, name]);
    at += 46 + length(name);
  }
  owners.push([at, null]);
  return (place) => owners.findLast(([start]) => start <= place)![1];
}

/** One bit of one byte turned over, everywhere. */
async function* flips(archive: Uint8Array, count: number): AsyncGenerator<TamperCase> {
  const draw = random(1);
  const owner = await ownerOf(archive);
  for (let i = 0; i < count; i++) {
    const at = Math.floor(draw() * archive.length);
    const bytes = archive.slice();
    bytes[at] ^= 1 << Math.floor(draw() * 8);
    yield { what: `bit of byte ${at}`, bytes, expected: [owner(at)] };
  }
}

/**
 * A bit of every `stride`-th byte of the container's headers, directory and end, and of the
 * signatures: they are short, random places would hardly find them.
 */
async function* structureFlips(archive: Uint8Array, stride: number): AsyncGenerator<TamperCase> {
  const { files } = (await openArchive(bytesAsSource(archive)))!;
  const owner = await ownerOf(archive);
  const quiet = files.filter(({ name }) => !name.startsWith("signatures/"));
  const inQuietFile = (at: number) =>
    quiet.some(({ from, size }) => at >= from && at < from + size);
  for (let at = 0; at < archive.length; at += stride) {
    if (inQuietFile(at)) continue;
    const bytes = archive.slice();
    bytes[at] ^= 1 << (at % 8);
    yield { what: `structure, bit of byte ${at}`, bytes, expected: [owner(at)] };
  }
}

type Files = { name: string; bytes: Uint8Array }[];

async function filesOf(archive: Uint8Array): Promise<Files> {
  const { files } = (await openArchive(bytesAsSource(archive)))!;
  return files.map(({ name, from, size }) => ({ name, bytes: archive.slice(from, from + size) }));
}

async function pack(files: Files): Promise<Uint8Array> {
  const pieces: Uint8Array[] = [];
  const sources = files.map(({ name, bytes }) => ({ name, source: bytesAsSource(bytes) }));
  for await (const piece of archivePieces(sources)) pieces.push(piece.slice());
  return Uint8Array.from(Buffer.concat(pieces));
}

/** Files changed, taken out, put in or exchanged, and the archive packed anew without a trace. */
async function* repacked(archive: Uint8Array): AsyncGenerator<TamperCase> {
  const draw = random(2);
  const files = await filesOf(archive);
  for (const { name } of files) {
    // Without its signature a revision only is no longer signed: that is said, but is no fault.
    if (!name.startsWith("signatures/")) {
      const rest = files.filter((file) => file.name !== name);
      yield { what: `${name} taken out`, bytes: await pack(rest), expected: [name, null] };
    }
    for (let round = 0; round < 20; round++) {
      const changed = files.map((file) => {
        if (file.name !== name) return file;
        const bytes = file.bytes.slice();
        bytes[Math.floor(draw() * bytes.length)] ^= 1 + Math.floor(draw() * 255);
        return { name, bytes };
      });
      const what = `${name} changed and packed anew (${round})`;
      yield { what, bytes: await pack(changed), expected: [name] };
    }
  }
  const added = [...files, { name: "photos/foreign.jpg", bytes: new Uint8Array(9) }];
  yield { what: "photo put in", bytes: await pack(added), expected: ["photos/foreign.jpg"] };
  const exchanged = files.map((file) =>
    file.name === "photos/a.jpg"
      ? { ...file, bytes: files.find(({ name }) => name === "camera/sheet-1.jpg")!.bytes }
      : file,
  );
  yield { what: "photos exchanged", bytes: await pack(exchanged), expected: ["photos/a.jpg"] };
}

/**
 * A number or word edited by somebody who knows the format: the text is canonical again, seals and
 * file name are made anew. Revision 1 then no longer is what revision 2 follows on; revision 2 no
 * longer is what was signed.
 */
async function* forged(archive: Uint8Array): AsyncGenerator<TamperCase> {
  const files = await filesOf(archive);
  const documents = files.filter(({ name }) => name.startsWith("records/"));
  for (const document of documents) {
    const value = JSON.parse(new TextDecoder().decode(document.bytes));
    const edits: [string, (content: Record<string, never>) => void][] = [
      ["plate", (content) => Object.assign(content.car, { plate: "ZZ 999" })],
      ["technician", (content) => Object.assign(content.work, { technician: "Nobody" })],
      ["verdict", (content) => Object.assign(content.result, { outcome: "all meet" })],
      ["photo", (content) => (content.photos as unknown[]).pop()],
    ];
    for (const [what, edit] of edits) {
      const { seals: _old, ...copy } = structuredClone(value);
      edit(copy.content);
      const bytes = canonicalBytes({ ...copy, seals: sealsOf(copy as Json) });
      const name = revisionFileName(hashOf(bytes));
      const changed = files.map((file) => (file.name === document.name ? { name, bytes } : file));
      const signature = document.name.replace("records/", "signatures/");
      const number: number = copy.number;
      const follower = documents.find(({ name: other }) => other !== document.name)!.name;
      yield {
        what: `revision ${number}: ${what} forged with new seals and name`,
        bytes: await pack(changed),
        expected: number === 1 ? [follower, signature] : [signature],
      };
    }
  }
}

/** Verifies every case, some of them random flips, and counts those whose place was named. */
export async function countTampering(randomFlips: number, stride: number): Promise<TamperCount> {
  const revisions = inventedRevisions();
  const key = await newKey();
  const signatures = await Promise.all(revisions.map(({ sha256 }) => signedBy(key, sha256)));
  const archive = await inventedArchive(revisions, signatures);
  const missed: string[] = [];
  let cases = 0;
  for (const make of [
    flips(archive, randomFlips),
    structureFlips(archive, stride),
    repacked(archive),
    forged(archive),
  ]) {
    for await (const { what, bytes, expected } of make) {
      cases++;
      const { findings } = await verifyArchive(bytesAsSource(bytes));
      const faults = findings.filter(({ severity }) => severity === "fault");
      const named = faults.some(({ file }) => expected.includes(file));
      if (!named)
        missed.push(`${what}: ${JSON.stringify(faults.map(({ code, file }) => [code, file]))}`);
    }
  }
  return { cases, named: cases - missed.length, missed };
}
