import type { Revision } from "../../record/revision.ts";
import type { Sha256 } from "../../record/sha256.ts";
import { base64urlOf, isSignedByKey, type Signature, signedBytes } from "../../record/signature.ts";
import { reportFailure } from "../state/failures.ts";
import { saveSignature } from "../store/records/revisions.ts";
import { loadSigningKey } from "../store/records/signing-key.ts";

/** Who signs, as the record names them; a name, not a proof. */
export const signerOf = ({ content }: Pick<Revision, "content">): string =>
  [content.work.technician, content.work.shop].filter(Boolean).join(", ");

/**
 * Signs a closed revision with the device's key and stores the signature; null where the device has no
 * key. Throws where signing or storing fails: the revision stays closed, without a signature.
 */
export async function signRevision(
  sha256: Sha256,
  signer: string,
  now: string,
): Promise<Signature | null> {
  const device = await loadSigningKey();
  if (!device) {
    return null;
  }
  const unsigned = {
    format: "plumbshot-signature",
    version: 1,
    signs: sha256,
    signer,
    signedAt: now,
    key: device.key,
  } as const;
  const made = await crypto.subtle.sign(
    { name: "ECDSA", hash: "SHA-256" },
    device.privateKey,
    signedBytes(unsigned),
  );
  const signature = { ...unsigned, signature: base64urlOf(new Uint8Array(made)) };
  if (!isSignedByKey(signature)) {
    throw new Error("The browser's signature does not verify.");
  }
  await saveSignature(signature);
  return signature;
}

/** A record that could not be signed is closed all the same; the screen offers to sign it later. */
export async function signIfPossible(sha256: Sha256, signer: string): Promise<void> {
  try {
    await signRevision(sha256, signer, new Date().toISOString());
  } catch (error) {
    reportFailure(error);
  }
}
