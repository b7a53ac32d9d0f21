/** An invented closed record with two revisions, photos, an attached file and signatures. */
import { inventedJob, inventedResult } from "../../src/app/fixtures/invented-job.ts";
import { bytesAsSource } from "../../src/record/archive/byte-source.ts";
import { recordArchiveFiles } from "../../src/record/archive/record-archive.ts";
import { archivePieces } from "../../src/record/archive/write-archive.ts";
import { canonicalText } from "../../src/record/canonical.ts";
import { closeRevision, type SealedRevision } from "../../src/record/close-revision.ts";
import type { RecordContent } from "../../src/record/revision.ts";
import { hashOf, type Sha256 } from "../../src/record/sha256.ts";
import { base64urlOf, type Signature, signedBytes } from "../../src/record/signature.ts";

/** Bytes that stand for a photo. */
const photoBytes = (name: string): Uint8Array => {
  const text = new TextEncoder().encode(`not a photo, ${name} `);
  return Uint8Array.from({ length: 300 }, (_, i) => text[i % text.length] ^ (i >> 5));
};

export const inventedObjects = (): Map<Sha256, Uint8Array> =>
  new Map(
    ["sheet-1.jpg", "a.jpg", "b.jpg", "late.jpg", "report.txt"].map((name) => {
      const bytes = photoBytes(name);
      return [hashOf(bytes), bytes];
    }),
  );

const photo = (name: string, purpose: "sheet" | "boards"): RecordContent["photos"][number] => ({
  name,
  sha256: hashOf(photoBytes(name)),
  bytes: 300,
  addedAt: "2026-01-15T09:30:00.000Z",
  purpose,
  position: 1,
  setup: 1,
  epoch: "before",
  about: "",
  takenAt: "2026-01-15T10:21:07",
  zone: "+01:00",
  software: null,
  orientation: 1,
});

export function inventedContent(): RecordContent {
  const job = inventedJob();
  const { checks: _checks, ...car } = job.car;
  return {
    title: job.title,
    invented: true,
    car,
    bay: { name: "Bay 2", note: "" },
    work: {
      technician: "M. Muster",
      shop: "Invented shop",
      procedure: "Invented procedure 12-3, rev. 4",
      note: "",
      scanBefore: "no fault stored",
      scanAfter: "",
    },
    checks: [
      { list: "car", name: "tyres", state: "done", note: "2.3 bar", photo: null },
      { list: "after", name: "postScan", state: "open", note: "", photo: null },
    ],
    job: {
      format: "plumbshot-job",
      version: 1,
      title: job.title,
      invented: true,
      boards: { cellMm: 13 },
      lengths: [{ from: 21, to: 15, lengthMm: 4630, sdMm: 1 }],
      placement: { title: "Invented sheet" },
    },
    camera: { source: "sheet photos", profile: null },
    result: inventedResult,
    steps: [],
    standings: [],
    watch: [],
    photos: [photo("sheet-1.jpg", "sheet"), photo("a.jpg", "boards"), photo("b.jpg", "boards")],
    attachments: [
      {
        name: "report.txt",
        sha256: hashOf(photoBytes("report.txt")),
        bytes: 300,
        addedAt: "2026-01-15T11:00:00.000Z",
        kind: "scan before",
        type: "text/plain",
      },
    ],
  };
}

/** Two revisions: the second has another customer, a further photo and one photo less. */
export function inventedRevisions(): [SealedRevision, SealedRevision] {
  const content = inventedContent();
  const common = {
    record: "0123456789abcdef01234567",
    timeZone: "Europe/Madrid",
    program: "Plumbshot test",
  };
  const first = closeRevision({
    ...common,
    content,
    before: null,
    changeReason: "",
    openPoints: [{ code: "open-outcome", values: { outcome: "some miss" } }],
    chain: { device: "d1", sequence: 1, previous: null },
    closedAt: "2026-01-15T12:00:00+01:00",
  });
  const second = closeRevision({
    ...common,
    content: {
      ...content,
      car: { ...content.car, customer: "Ñandú Ltd." },
      photos: [content.photos[0], content.photos[1], photo("late.jpg", "boards")],
    },
    before: first,
    changeReason: "customer's name was missing",
    openPoints: [],
    chain: { device: "d1", sequence: 2, previous: first.sha256 },
    closedAt: "2026-01-16T08:00:00+01:00",
  });
  return [first, second];
}

export async function signedBy(key: CryptoKeyPair, sha256: Sha256): Promise<Signature> {
  const { kty, crv, x, y } = await crypto.subtle.exportKey("jwk", key.publicKey);
  const unsigned = {
    format: "plumbshot-signature",
    version: 1,
    signs: sha256,
    signer: "Invented shop, phone 1",
    signedAt: "2026-01-16T08:00:01+01:00",
    key: { kty, crv, x, y } as Signature["key"],
  } as const;
  const algorithm = { name: "ECDSA", hash: "SHA-256" };
  const made = await crypto.subtle.sign(algorithm, key.privateKey, signedBytes(unsigned));
  return { ...unsigned, signature: base64urlOf(new Uint8Array(made)) };
}

export const newKey = (): Promise<CryptoKeyPair> =>
  crypto.subtle.generateKey({ name: "ECDSA", namedCurve: "P-256" }, false, ["sign", "verify"]);

/** The archive's bytes. */
export async function inventedArchive(
  revisions: readonly SealedRevision[],
  signatures: readonly Signature[],
): Promise<Uint8Array> {
  const objects = inventedObjects();
  const files = recordArchiveFiles(
    revisions,
    new Map(signatures.map((signature) => [signature.signs, canonicalText(signature)])),
    (sha256) => bytesAsSource(objects.get(sha256)!),
  );
  return packed(files);
}

export async function packed(files: Parameters<typeof archivePieces>[0]): Promise<Uint8Array> {
  const pieces: Uint8Array[] = [];
  for await (const piece of archivePieces(files)) pieces.push(piece.slice());
  return Uint8Array.from(Buffer.concat(pieces));
}
