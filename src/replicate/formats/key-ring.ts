/**
 * One plain file for each shop key, `keys/<id>.json`, format "plumbshot-key-ring", version 1: by it a
 * device knows whether its key is the shop's, how a key comes from a phrase, and, with the present
 * key, the earlier ones.
 */
import { z } from "zod";
import { keyIdSchema } from "./entry.ts";

/**
 * scrypt (RFC 7914) with the cost that the OWASP Password Storage Cheat Sheet names: 128 MiB of
 * memory. The values are fixed: a store that answers with cheaper ones is not believed.
 */
export const scryptCost = { N: 2 ** 17, r: 8, p: 1 } as const;

export const phraseSchema = z.object({
  by: z.literal("scrypt"),
  N: z.literal(scryptCost.N),
  r: z.literal(scryptCost.r),
  p: z.literal(scryptCost.p),
  salt: z.string().regex(/^[0-9a-f]{32}$/),
});

export const keyRingSchema = z.object({
  format: z.literal("plumbshot-key-ring"),
  version: z.literal(1),
  id: keyIdSchema,
  madeAt: z.string(),
  check: z
    .string()
    .regex(/^[0-9a-f]{64}$/)
    .describe("proves that a key is this one, without saying it"),
  phrase: phraseSchema.nullable().describe("how the key comes from a phrase; null for a key file"),
  before: keyIdSchema.nullable().describe("the key that this one took the place of"),
  earlier: z
    .string()
    .describe("earlier keys, sealed with this one; base64url; empty for the first"),
});
export type KeyRing = z.infer<typeof keyRingSchema>;
