/**
 * Verifies a whole record archive: container, revisions, chain, photos, attached files, the job
 * folder and signatures. It names every place that is not as it was closed.
 */
import { type ByteSource, piecesOf, readAll } from "../archive/byte-source.ts";
import { type ArchivedFile, type ContainerFault, openArchive } from "../archive/read-archive.ts";
import {
  folderTexts,
  objectFileName,
  objectsOf,
  revisionFileName,
} from "../archive/record-files.ts";
import type { Revision } from "../revision.ts";
import { hashOfPieces, type Sha256, sha256Schema } from "../sha256.ts";
import {
  fingerprintOf,
  isSignedByKey,
  type PublicKey,
  readSignature,
  type Signature,
} from "../signature.ts";
import { type Finding, fault, note } from "./finding.ts";
import { type PlacedRevision, verifyDeviceChains, verifyRevisions } from "./verify-chain.ts";
import { verifyDocument } from "./verify-document.ts";
import { verifyWithheld } from "./verify-withheld.ts";

export interface Verification {
  /** True where nothing was changed, taken out or put in. */
  readonly intact: boolean;
  readonly findings: readonly Finding[];
  /** Revisions that could be read, by number. */
  readonly revisions: readonly PlacedRevision[];
}

const containerCodes = {
  header: "finding.header",
  directory: "finding.directory",
  end: "finding.end",
  checksum: "finding.checksum",
  truncated: "finding.truncated",
} as const satisfies Record<ContainerFault["what"], Finding["code"]>;

export interface VerifyOptions {
  /** The key that every revision must be signed with; any key or none by default. */
  readonly key?: PublicKey;
}

/** Verifies an archive; the photos are read piece by piece. */
export async function verifyArchive(
  source: ByteSource,
  options: VerifyOptions = {},
): Promise<Verification> {
  const opened = await openArchive(source);
  if (!opened) return conclude([fault("finding.noArchive")], []);
  const { files } = opened;
  const container = opened.faults.map(({ file, what }) => fault(containerCodes[what], file));
  const documents = await readDocuments(source, files);
  const placed = documents.placed.sort((a, b) => a.revision.number - b.revision.number);
  const last = placed.at(-1);
  return conclude(
    [
      ...container,
      ...documents.findings,
      ...(documents.count === 0 ? [fault("finding.noRevision")] : []),
      ...verifyRevisions(placed),
      ...verifyDeviceChains(placed),
      ...(last ? await verifyFiles(source, files, placed, last.revision) : []),
      ...(await verifySignatures(source, files, placed, options)),
    ],
    placed,
  );
}

const conclude = (
  findings: readonly Finding[],
  revisions: readonly PlacedRevision[],
): Verification => ({
  intact: findings.every(({ severity }) => severity === "note"),
  findings,
  revisions,
});

/** The hash in a file's name, null where it has none. */
function hashInName(name: string, folder: string): Sha256 | null {
  const match = name.match(/^([a-z]+)\/([0-9a-f]{64})\.json$/);
  const parsed = sha256Schema.safeParse(match?.[2]);
  return match?.[1] === folder && parsed.success ? parsed.data : null;
}

const bytesOf = (source: ByteSource, { from, size }: ArchivedFile): Promise<Uint8Array> =>
  readAll(source, from, from + size);

async function readDocuments(source: ByteSource, files: readonly ArchivedFile[]) {
  const findings: Finding[] = [];
  const placed: PlacedRevision[] = [];
  const documents = files.filter(({ name }) => name.startsWith("records/"));
  for (const file of documents) {
    const named = hashInName(file.name, "records");
    const read = verifyDocument(await bytesOf(source, file), named ?? ("" as Sha256), file.name);
    findings.push(...read.findings);
    if (read.revision) {
      placed.push({ file: file.name, sha256: read.sha256, revision: read.revision });
    }
  }
  return { findings, placed, count: documents.length };
}

/** Photos, attached files and the job folder, against all revisions. */
async function verifyFiles(
  source: ByteSource,
  files: readonly ArchivedFile[],
  placed: readonly PlacedRevision[],
  last: Revision,
): Promise<Finding[]> {
  const byName = new Map(files.map((file) => [file.name, file]));
  const withheld = await verifyWithheld(source, files, placed);
  const findings: Finding[] = [...withheld.findings];
  const known = new Set<string>(withheld.known);
  const wanted = objectsOf(last);
  const inFolder = new Set(wanted.map(({ sha256 }) => sha256));
  const earlier = placed
    .filter(({ revision }) => revision !== last)
    .flatMap(({ revision }) => objectsOf(revision))
    .filter(({ sha256 }) => !inFolder.has(sha256))
    .map((object) => ({ ...object, file: objectFileName(object.sha256) }));
  const unique = new Map([...wanted, ...earlier].map((object) => [object.file, object]));
  for (const { file: name, sha256, bytes } of unique.values()) {
    known.add(name);
    const file = byName.get(name);
    if (!file) {
      if (!withheld.photos.has(sha256)) findings.push(fault("finding.fileMissing", name));
    } else if (file.size !== bytes || (await hashIn(source, file)) !== sha256) {
      findings.push(fault("finding.fileChanged", name));
    }
  }
  for (const [name, text] of folderTexts(last)) {
    known.add(name);
    const file = byName.get(name);
    if (!file) findings.push(fault("finding.fileMissing", name));
    else if (new TextDecoder().decode(await bytesOf(source, file)) !== text) {
      findings.push(fault("finding.textChanged", name));
    }
  }
  for (const { sha256, file } of placed) {
    known.add(file);
    known.add(revisionFileName(sha256));
  }
  const belongs = (name: string) => known.has(name) || /^(records|signatures)\//.test(name);
  const foreign = files.filter(({ name }) => !belongs(name));
  return [...findings, ...foreign.map(({ name }) => fault("finding.fileAdded", name))];
}

const hashIn = (source: ByteSource, { from, size }: ArchivedFile): Promise<Sha256> =>
  hashOfPieces(piecesOf(source, from, from + size));

async function verifySignatures(
  source: ByteSource,
  files: readonly ArchivedFile[],
  placed: readonly PlacedRevision[],
  { key }: VerifyOptions,
): Promise<Finding[]> {
  const findings: Finding[] = [];
  const signed = new Set<Sha256>();
  for (const file of files.filter(({ name }) => name.startsWith("signatures/"))) {
    const signature = readSignature(new TextDecoder().decode(await bytesOf(source, file)));
    const about = placed.find(({ sha256 }) => sha256 === signature?.signs);
    const named = hashInName(file.name, "signatures") === signature?.signs;
    if (signature && !about) {
      findings.push(fault("finding.fileMissing", revisionFileName(signature.signs)));
    }
    if (!signature || !about || !named || !isSignedByKey(signature)) {
      findings.push(fault("finding.signatureBroken", file.name));
      continue;
    }
    signed.add(about.sha256);
    findings.push(keyFinding(signature, about, key, file.name));
  }
  const unsigned = placed.filter(({ sha256 }) => !signed.has(sha256));
  return [
    ...findings,
    ...unsigned.map(({ file, revision: { number } }) =>
      key
        ? fault("finding.signatureMissing", file, { number, fingerprint: fingerprintOf(key) })
        : note("finding.unsigned", file, { number }),
    ),
  ];
}

function keyFinding(
  signature: Signature,
  { revision }: PlacedRevision,
  wanted: PublicKey | undefined,
  file: string,
): Finding {
  const fingerprint = fingerprintOf(signature.key);
  if (wanted && fingerprintOf(wanted) !== fingerprint) {
    return fault("finding.signatureUnknown", file, { fingerprint });
  }
  const values = { number: revision.number, signer: signature.signer, fingerprint };
  return note("finding.signed", file, values);
}
