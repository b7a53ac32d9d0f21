/** Where a store is, and what another device needs to join it. */
import { z } from "zod";

const httpAddress = z
  .string()
  .max(2000)
  .regex(/^https?:\/\/[^\s/]+/i, "an address that begins with https:// or http://");

export const webdavAddressSchema = z.object({
  kind: z.literal("webdav"),
  url: httpAddress,
  user: z.string().default(""),
  password: z.string().default(""),
});
export const s3AddressSchema = z.object({
  kind: z.literal("s3"),
  url: httpAddress.describe("the endpoint, without the bucket"),
  bucket: z.string().min(1),
  region: z.string().default("us-east-1"),
  accessKey: z.string().min(1),
  secretKey: z.string().min(1),
  folder: z.string().default("").describe("first part of all names; may be empty"),
});
export const folderAddressSchema = z.object({ kind: z.literal("folder"), path: z.string().min(1) });

export const storeAddressSchema = z.discriminatedUnion("kind", [
  webdavAddressSchema,
  s3AddressSchema,
  folderAddressSchema,
]);
export type StoreAddress = z.infer<typeof storeAddressSchema>;
export type WebdavAddress = z.infer<typeof webdavAddressSchema>;
export type S3Address = z.infer<typeof s3AddressSchema>;

/** 32 bytes in base64url without padding (RFC 4648, section 5). */
export const keyTextSchema = z.string().regex(/^[A-Za-z0-9_-]{43}$/, "a key of 43 characters");

/** A shop key as a file: whoever has it reads everything. */
export const keyFileSchema = z.object({
  format: z.literal("plumbshot-shop-key"),
  version: z.literal(1),
  key: keyTextSchema,
});

/** What the QR code of "add a device" and "join this job" holds. */
export const invitationSchema = z.object({
  format: z.literal("plumbshot-invitation"),
  version: z.literal(1),
  store: storeAddressSchema,
  key: keyTextSchema,
  job: z.string().optional().describe("a shared job that is opened at once"),
});
export type Invitation = z.infer<typeof invitationSchema>;

const prefix = "PLUMBSHOT:";

/** As text for a QR code, or to be typed or pasted. */
export function invitationText(invitation: Invitation): string {
  const bytes = new TextEncoder().encode(JSON.stringify(invitation));
  const binary = Array.from(bytes, (byte) => String.fromCharCode(byte)).join("");
  return prefix + btoa(binary).replaceAll("+", "-").replaceAll("/", "_").replaceAll("=", "");
}

/** The invitation in a text; null where it is none. */
export function readInvitation(text: string): Invitation | null {
  const body = text.trim().replace(/\s+/g, "");
  if (!body.toUpperCase().startsWith(prefix) || body.length > 8000) return null;
  try {
    const plain = atob(body.slice(prefix.length).replaceAll("-", "+").replaceAll("_", "/"));
    const bytes = Uint8Array.from(plain, (char) => char.charCodeAt(0));
    return invitationSchema.parse(JSON.parse(new TextDecoder().decode(bytes)));
  } catch {
    return null;
  }
}
