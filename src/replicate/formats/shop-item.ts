/**
 * What the shop knows (a target taught, a lens, a set of plates ...), format "plumbshot-shop-item",
 * version 1: one document for each revision. The newest revision counts, older ones stay.
 */
import { z } from "zod";
import { canonicalBytes } from "../../record/canonical.ts";
import { hashOf, type Sha256, sha256Schema } from "../../record/sha256.ts";

export const itemKinds = ["target", "lens", "prints", "plates", "sheet"] as const;
export type ItemKind = (typeof itemKinds)[number];

export const shopItemSchema = z.object({
  format: z.literal("plumbshot-shop-item"),
  version: z.literal(1),
  kind: z.enum(itemKinds),
  id: z.string().min(1).max(200),
  revision: z.number().int().min(1).describe("one more than the revision that was changed"),
  before: sha256Schema.nullable().describe("the revision that was changed"),
  changedAt: z.string().describe("ISO 8601, the device's own clock"),
  device: z.string(),
  gone: z.boolean().describe("taken off the shop's list"),
  value: z.unknown().describe("the item in its own format; null where it is gone"),
});
export type ShopItem = z.infer<typeof shopItemSchema>;

export interface NamedItem {
  readonly sha256: Sha256;
  readonly item: ShopItem;
}

export const itemName = ({ kind, id }: Pick<ShopItem, "kind" | "id">): string => `${kind}/${id}`;

/** The item as the immutable object that it is stored as. */
export function namedItem(item: ShopItem): NamedItem & { readonly bytes: Uint8Array<ArrayBuffer> } {
  const bytes = canonicalBytes(item);
  return { sha256: hashOf(bytes), item, bytes };
}

/**
 * True where `a` counts over `b`. The number of the revision goes first: clocks of phones are wrong,
 * and count only between two changes of the same revision; the hash decides what is left.
 */
export function isNewer(a: NamedItem, b: NamedItem): boolean {
  if (a.item.revision !== b.item.revision) return a.item.revision > b.item.revision;
  if (a.item.changedAt !== b.item.changedAt) return a.item.changedAt > b.item.changedAt;
  return a.sha256 > b.sha256;
}

/** The newest revision of every item, by its name. */
export function newestItems(all: Iterable<NamedItem>): Map<string, NamedItem> {
  const newest = new Map<string, NamedItem>();
  for (const one of all) {
    const name = itemName(one.item);
    const present = newest.get(name);
    if (!present || isNewer(one, present)) newest.set(name, one);
  }
  return newest;
}
