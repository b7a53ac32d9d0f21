/**
 * Photos that whoever made an archive left out, for the sake of people who can be seen in them. The
 * closed revisions still name every photo by its hash; `withheld.json` (format "plumbshot-withheld",
 * version 1) says which of them are not here on purpose, and which copies stand in for them. Copies are
 * no part of the record: they prove nothing, and nothing is measured on them.
 */
import { z } from "zod";
import { canonicalText } from "./canonical.ts";
import type { Revision } from "./revision.ts";
import { type Sha256, sha256Schema } from "./sha256.ts";

export const withheldFileName = "withheld.json";

/** What the copies show; "none": there are no copies. */
export const copyKinds = ["covered", "boards only", "none"] as const;
export type CopyKind = (typeof copyKinds)[number];

export const withheldSchema = z.strictObject({
  format: z.literal("plumbshot-withheld"),
  version: z.literal(1),
  copies: z.enum(copyKinds),
  photos: z.array(sha256Schema).describe("originals that are not in this archive, sorted"),
  files: z
    .record(z.string(), sha256Schema)
    .describe("copies in this archive by path, so that one that was changed later is noticed"),
});
export type Withheld = z.infer<typeof withheldSchema>;

/** The text of `withheld.json`: the one that its value has. */
export const withheldText = (withheld: Withheld): string => canonicalText(withheld);

/** Null where the text is not exactly what {@link withheldText} writes. */
export function readWithheld(text: string): Withheld | null {
  try {
    const parsed = withheldSchema.safeParse(JSON.parse(text));
    return parsed.success && canonicalText(parsed.data) === text ? parsed.data : null;
  } catch {
    return null;
  }
}

/** Hashes of all photos of these revisions, sorted, each once. */
export const photosOf = (revisions: readonly Pick<Revision, "content">[]): Sha256[] =>
  [
    ...new Set(revisions.flatMap(({ content }) => content.photos.map(({ sha256 }) => sha256))),
  ].sort();
