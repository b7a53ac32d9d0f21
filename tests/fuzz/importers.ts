/**
 * Everything that reads a file which somebody brought, with good files to begin from. Each one has to
 * end with an answer, whatever the bytes: to throw is a crash.
 */
import "fake-indexeddb/auto";
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { exportJob } from "../../src/app/archive/export-job.ts";
import { importJob } from "../../src/app/archive/import-job.ts";
import { inventedJob, inventedResult } from "../../src/app/fixtures/invented-job.ts";
import { targetsOf } from "../../src/app/library/target-library.ts";
import { spaceNeeded } from "../../src/app/screens/car/space.ts";
import { jobFileInput, recordWithJobFile } from "../../src/app/state/job-file.ts";
import { kindOfFile, refuse } from "../../src/app/state/photo/photo-intake.ts";
import { stepsOf } from "../../src/app/state/steps.ts";
import { database } from "../../src/app/store/database/database.ts";
import { readJobRecord } from "../../src/app/store/database/migrate.ts";
import { saveJob } from "../../src/app/store/jobs.ts";
import { notMeasured } from "../../src/app/store/listings.ts";
import { addPhoto } from "../../src/app/store/photos.ts";
import { readJson } from "../../src/job/file/bounded-json.ts";
import { parseJobFile } from "../../src/job/file/parse-job.ts";
import { resultSchema } from "../../src/job/result/result.ts";
import { learnCamera } from "../../src/job/run/learn-camera.ts";
import { teachFileSchema } from "../../src/job/teach/teach-target.ts";
import { readProfile } from "../../src/lens/profile.ts";
import { decodePhoto } from "../../src/photo/decode.ts";
import { readExif, readPreview, withoutExif } from "../../src/photo/exif/exif.ts";
import { exampleSheets } from "../../src/placement/sheet/examples/index.ts";
import { readPlacementSheet } from "../../src/placement/sheet/sheet-questions.ts";
import { targetLibrarySchema } from "../../src/placement/target/target-library.ts";
import { bytesAsSource } from "../../src/record/archive/byte-source.ts";
import { canonicalText } from "../../src/record/canonical.ts";
import { readSignature } from "../../src/record/signature.ts";
import { verifyArchive } from "../../src/record/verify/verify-archive.ts";
import { inventedSheetPhotos } from "../../workers/shared/warm-up-pictures.ts";
import { withExif, withPreview, writeTiff } from "../tools/exif-writer.ts";
import { inventedArchive, inventedRevisions, newKey, signedBy } from "../tools/invented-record.ts";
import { writeFlatJpeg } from "../tools/tiny-jpeg.ts";

export interface Importer {
  readonly name: string;
  /** Its part of all cases; the quick ones get more. */
  readonly share: number;
  /** Good files, made once. JSON values for those that read JSON. */
  seeds(): Promise<readonly (Uint8Array | { readonly json: unknown })[]>;
  /** Reads one file; true where it was taken. */
  read(bytes: Uint8Array): Promise<boolean> | boolean;
}

const text = (bytes: Uint8Array): string => new TextDecoder().decode(bytes);
const fixtures = join(import.meta.dirname, "../unit/photo/fixtures");
const fixture = (name: string): Uint8Array => new Uint8Array(readFileSync(join(fixtures, name)));
const sample = (name: string): unknown =>
  JSON.parse(readFileSync(join(import.meta.dirname, "../../sample-images/demo-job", name), "utf8"));

/** An importer of JSON: bounded parsing, then its schema. */
const ofJson = (
  name: string,
  share: number,
  seeds: () => readonly unknown[],
  take: (value: unknown) => boolean,
): Importer => ({
  name,
  share,
  seeds: async () => seeds().map((json) => ({ json })),
  read: (bytes) => {
    const reading = readJson(text(bytes));
    return reading.ok && take(reading.value);
  },
});

const teaching = {
  ...{ format: "plumbshot-teach", version: 1, name: "board", standBoards: [31, 32] },
  pointers: { reference: 41, right: 42, above: 43 },
};

const library = {
  ...{ format: "plumbshot-targets", version: 1 },
  targets: [
    {
      ...{ name: "board", kind: "board", invented: true, widthMm: 900, heightMm: 600 },
      boards: [
        { board: "31", centreInTargetMm: [0, 0, 0], shiftSdMm: 0.5, turnSdDeg: 0.05 },
        { board: "32", centreInTargetMm: [400, 0, 0], shiftSdMm: 0.5, turnSdDeg: 0.05 },
      ],
      taught: { how: "typed offsets", on: "2026-01-01" },
    },
  ],
};

/** What the screens do with a job's record as soon as it is open. */
const takeRecord = (raw: unknown): boolean => {
  const outcome = readJobRecord(raw);
  if (!outcome.ok) return false;
  const { record } = outcome;
  stepsOf(record.placement.sheet);
  spaceNeeded(record.placement.sheet);
  targetsOf(record);
  parseJobFile(jobFileInput(record, []));
  return true;
};

const flat = () => writeFlatJpeg(96, 80, (column, row) => (column * 20 + row * 7) % 256);
const phoneTiff = () =>
  writeTiff({ 271: "Invented", 272: "Phone", 274: 6 }, { 37386: [400, 100], 41989: 26 }, true);

const image = (name: string, share: number, seeds: () => Uint8Array[]): Importer => ({
  name,
  share,
  seeds: async () => seeds(),
  read: (bytes) => decodePhoto(bytes, "photo").ok,
});

let stored: string | null = null;

/** All keys of the database: a refused archive must leave them as they were. */
async function storedKeys(): Promise<string> {
  const db = await database();
  const all: unknown[] = [];
  for (const store of db.objectStoreNames) all.push(await db.getAllKeys(store));
  return JSON.stringify(all);
}

const jpegBlob = () => new Blob([flat() as Uint8Array<ArrayBuffer>]);

async function backupSeeds(): Promise<Uint8Array[]> {
  const record = { ...inventedJob(), id: "seed" };
  await saveJob(record, notMeasured);
  const photo = {
    ...{ id: "p", jobId: "seed", name: "a.jpg", purpose: "boards" as const, position: 1 },
    ...{ setup: 1, epoch: "before" as const, about: "", addedAt: "2026-01-01", byteLength: 1 },
    ...{ fingerprint: "", thumb: null, removed: false },
  };
  await addPhoto(photo, jpegBlob());
  const { blob } = await exportJob("seed");
  return [new Uint8Array(await blob.arrayBuffer())];
}

export const importers: readonly Importer[] = [
  ofJson(
    "job",
    14,
    () => [sample("job.json")],
    (value) => {
      const parsed = parseJobFile(value);
      return parsed.ok;
    },
  ),
  ofJson(
    "sheet",
    14,
    () => [sample("placement.json"), ...Object.values(exampleSheets)],
    (value) => readPlacementSheet(value).ok,
  ),
  ofJson(
    "profile",
    8,
    () => {
      const answer = learnCamera(inventedSheetPhotos(), "2026-01-01");
      return answer.ok ? [answer.camera.profile] : [];
    },
    (value) => readProfile(value, "camera.json").ok,
  ),
  ofJson(
    "library",
    10,
    () => [library],
    (value) => targetLibrarySchema.safeParse(value).success,
  ),
  ofJson(
    "teaching",
    8,
    () => [teaching],
    (value) => teachFileSchema.safeParse(value).success,
  ),
  ofJson("backup record", 10, () => [inventedJob()], takeRecord),
  ofJson(
    "backup job folder",
    6,
    () => [sample("job.json")],
    (value) =>
      typeof value === "object" && value !== null && !Array.isArray(value)
        ? takeRecord(recordWithJobFile(inventedJob(), { ...value }))
        : false,
  ),
  ofJson(
    "result",
    4,
    () => [inventedResult],
    (value) => resultSchema.safeParse(value).success,
  ),
  {
    name: "backup archive",
    share: 2,
    seeds: backupSeeds,
    read: async (bytes) => {
      stored ??= await storedKeys();
      const file = new Blob([bytes as Uint8Array<ArrayBuffer>]);
      const outcome = await importJob(file, async (blob) => `${blob.size}`);
      const now = await storedKeys();
      if (!outcome.ok && now !== stored) throw new Error("A refused archive left something.");
      stored = now;
      return outcome.ok;
    },
  },
  {
    name: "record archive",
    share: 3,
    seeds: async () => {
      const revisions = inventedRevisions();
      const key = await newKey();
      return [await inventedArchive(revisions, [await signedBy(key, revisions[1].sha256)])];
    },
    read: async (bytes) => (await verifyArchive(bytesAsSource(bytes))).intact,
  },
  {
    name: "signature",
    share: 4,
    seeds: async () => {
      const [first] = inventedRevisions();
      // Signatures are read in their canonical form only.
      const signature = await signedBy(await newKey(), first.sha256);
      return [new TextEncoder().encode(canonicalText(signature))];
    },
    read: (bytes) => readSignature(text(bytes)) !== null,
  },
  image("jpeg", 5, () => [
    flat(),
    fixture("base420.jpg"),
    fixture("grey.jpg"),
    fixture("grey-progressive.jpg"),
    fixture("cmyk.jpg"),
  ]),
  image("png", 3, () => [fixture("rgb8.png"), fixture("grey8.png"), fixture("interlaced.png")]),
  {
    name: "exif",
    share: 8,
    seeds: async () => [
      withExif(flat(), phoneTiff()),
      withPreview(flat(), flat(), 6),
      fixture("photo.webp"),
    ],
    read: (bytes) => {
      for (const format of ["jpeg", "webp"] as const) readExif(bytes, format, "photo");
      readPreview(bytes, "jpeg");
      withoutExif(bytes);
      return true;
    },
  },
  {
    name: "attached file",
    share: 5,
    seeds: async () => [flat(), fixture("photo.webp"), fixture("grey8.png")],
    read: (bytes) => {
      const head = bytes.slice(0, 16);
      kindOfFile(head);
      return refuse({ name: text(head), size: bytes.length }, head, "", new Set()) === null;
    },
  },
];
