import { z } from "zod";
import { type PublicKey, publicKeySchema } from "../../../record/signature.ts";
import { database } from "../database/database.ts";
import { saving } from "../database/not-saved.ts";

/**
 * The device's key for signing records: ECDSA on P-256 (FIPS 186-5). The browser keeps the private half
 * and lets nobody read it, this program included; it signs with it, that is all.
 */
const storedKeySchema = z.object({
  version: z.literal(1),
  privateKey: z.custom<CryptoKey>((value) => value instanceof CryptoKey),
  key: publicKeySchema,
  madeAt: z.string(),
});
export type SigningKey = z.infer<typeof storedKeySchema>;

const name = "signing";

/** False on plain http: there the browser has no such keys. */
export const canSign = (): boolean => globalThis.crypto?.subtle !== undefined;

/** The device's key; null where it has none. */
export async function loadSigningKey(): Promise<SigningKey | null> {
  if (!canSign()) {
    return null;
  }
  return storedKeySchema.safeParse(await (await database()).get("keys", name)).data ?? null;
}

/** Makes the device's key. A key that is there already stays: two tabs make one key. */
export const makeSigningKey = (now: string): Promise<SigningKey> =>
  saving("key", "", async () => {
    const pair = await crypto.subtle.generateKey(
      { name: "ECDSA", namedCurve: "P-256" },
      // Not extractable: the browser gives the private half to nobody.
      false,
      ["sign", "verify"],
    );
    const { kty, crv, x, y } = await crypto.subtle.exportKey("jwk", pair.publicKey);
    const key = publicKeySchema.parse({ kty, crv, x, y }) satisfies PublicKey;
    const made: SigningKey = { version: 1, privateKey: pair.privateKey, key, madeAt: now };
    const db = await database();
    const transaction = db.transaction("keys", "readwrite");
    const present = storedKeySchema.safeParse(await transaction.store.get(name));
    if (!present.success) {
      await transaction.store.put(made, name);
    }
    await transaction.done;
    return present.data ?? made;
  });

export const deleteSigningKey = (): Promise<void> =>
  saving("deletion", "", async () => {
    await (await database()).delete("keys", name);
  });
