/**
 * Deletion for good, format "plumbshot-removal", version 1: names objects that no device may keep or
 * store again. It stays for ever and holds hashes only, not a word of what they stood for. Only who
 * has the shop key can write one: it is sealed like everything else.
 */
import { z } from "zod";
import { sha256Schema } from "../../record/sha256.ts";

export const removalSchema = z.object({
  format: z.literal("plumbshot-removal"),
  version: z.literal(1),
  removes: z.array(sha256Schema).min(1),
  removedAt: z.string().describe("ISO 8601, the device's own clock"),
  device: z.string(),
});
export type Removal = z.infer<typeof removalSchema>;
