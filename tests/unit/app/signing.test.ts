/** The device's key: made once, never let out, signs what is closed; the verifier knows it again. */
import { expect, test, vi } from "vitest";
import { bytesAsSource } from "../../../src/record/archive/byte-source.ts";
import { verifyArchive } from "../../../src/record/verify/verify-archive.ts";
import {
  inventedArchive,
  inventedRevisions,
  newKey,
  signedBy,
} from "../../tools/invented-record.ts";
import { freshPage, quickThumbs } from "./app-store.ts";

vi.mock("../../../src/app/photos/thumbs.ts", () => quickThumbs);

async function device() {
  await freshPage();
  const [keys, sign, revisions, signature] = await Promise.all([
    import("../../../src/app/store/records/signing-key.ts"),
    import("../../../src/app/session/sign-record.ts"),
    import("../../../src/app/store/records/revisions.ts"),
    import("../../../src/record/signature.ts"),
  ]);
  return { ...keys, ...sign, ...revisions, ...signature };
}

const now = "2026-01-16T08:00:01+01:00";

test("a key is made once, stays, and its private half cannot be read", async () => {
  const { makeSigningKey, loadSigningKey, fingerprintOf } = await device();
  expect(await loadSigningKey()).toBeNull();
  const made = await makeSigningKey(now);
  const again = await makeSigningKey("2027-01-01T00:00:00Z");
  expect(fingerprintOf(again.key)).toBe(fingerprintOf(made.key));
  const stored = await loadSigningKey();
  expect(stored?.madeAt).toBe(now);
  expect(stored?.privateKey.extractable).toBe(false);
  for (const format of ["jwk", "pkcs8"] as const) {
    await expect(crypto.subtle.exportKey(format, stored!.privateKey)).rejects.toThrow();
  }
});

test("what the device signs, the verifier takes for its signature, and for nobody else's", async () => {
  const { makeSigningKey, signRevision, loadSignature, readSignature } = await device();
  const revisions = inventedRevisions();
  const { key } = await makeSigningKey(now);
  for (const { sha256 } of revisions) await signRevision(sha256, "Invented shop", now);
  const signatures = await Promise.all(
    revisions.map(async ({ sha256 }) => readSignature((await loadSignature(sha256))!)!),
  );
  const archive = bytesAsSource(await inventedArchive(revisions, signatures));
  const mine = await verifyArchive(archive, { key });
  expect(mine.intact).toBe(true);
  expect(mine.findings.filter(({ code }) => code === "finding.signed")).toHaveLength(2);
  const other = (await signedBy(await newKey(), revisions[0].sha256)).key;
  const theirs = await verifyArchive(archive, { key: other });
  expect(theirs.intact).toBe(false);
  expect(theirs.findings.map(({ code }) => code)).toContain("finding.signatureUnknown");
});

test("a device without a key signs nothing, and one whose key was deleted no more", async () => {
  const { makeSigningKey, deleteSigningKey, signRevision, loadSignature } = await device();
  const [{ sha256 }, second] = inventedRevisions();
  expect(await signRevision(sha256, "", now)).toBeNull();
  expect(await loadSignature(sha256)).toBeNull();
  await makeSigningKey(now);
  await signRevision(sha256, "", now);
  await deleteSigningKey();
  expect(await signRevision(second.sha256, "", now)).toBeNull();
  // What was signed stays signed.
  expect(await loadSignature(sha256)).not.toBeNull();
});
