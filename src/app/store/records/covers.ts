import { z } from "zod";
import { all, database, write } from "../database/database.ts";
import { saving } from "../database/not-saved.ts";

/** A place in a photo, shares of width and height of the picture as it is shown. */
const coveredSchema = z.object({
  left: z.number(),
  top: z.number(),
  right: z.number(),
  bottom: z.number(),
});
export type Covered = z.infer<typeof coveredSchema>;

/** What is covered in copies of a photo, once somebody has looked at it. The photo stays as it is. */
const coverSchema = z.object({
  version: z.literal(1),
  lookedAt: z.string(),
  covered: z.array(coveredSchema),
});
export type Cover = z.infer<typeof coverSchema>;

/** Covers of those of these photos that were looked at. */
export async function loadCovers(ids: readonly string[]): Promise<Map<string, Cover>> {
  const db = await database();
  const covers = new Map<string, Cover>();
  for (const id of ids) {
    const parsed = coverSchema.safeParse(await db.get("covers", id));
    if (parsed.success) {
      covers.set(id, parsed.data);
    }
  }
  return covers;
}

const listeners = new Set<() => void>();

/** Tells of every change of what is covered; gives back how to stop it. */
export function onCoversSaved(listener: () => void): () => void {
  listeners.add(listener);
  return () => listeners.delete(listener);
}

/** Notes what somebody who has looked at the photos wants covered, by photo id. */
export async function saveCovers(
  covered: ReadonlyMap<string, readonly Covered[]>,
  now: string,
): Promise<void> {
  await saving("photo", "", () =>
    write(["covers"], async ({ covers }) => {
      await all(
        [...covered].map(
          ([id, places]) =>
            () =>
              covers.put({ version: 1, lookedAt: now, covered: places.map(plain) }, id),
        ),
      );
    }),
  );
  for (const tell of listeners) {
    tell();
  }
}

/** The detector's finds carry a score, too. */
const plain = ({ left, top, right, bottom }: Covered): Covered => ({ left, top, right, bottom });
