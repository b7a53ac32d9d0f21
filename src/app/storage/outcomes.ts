import { z } from "zod";
import type { PhotoOutcome } from "../../detection/findings.ts";
import { database } from "./database.ts";

/**
 * Findings are kept beside their photo, so that a reload goes on where it stopped. They hold typed
 * arrays and belong to one engine version; another version finds them again.
 */
const storedOutcomeSchema = z.object({
  engine: z.string(),
  lensKey: z.string(),
  outcome: z.discriminatedUnion("ok", [
    z.object({
      ok: z.literal(true),
      findings: z.looseObject({
        name: z.string(),
        width: z.number().positive(),
        height: z.number().positive(),
        boards: z.array(z.looseObject({ id: z.number(), pixels: z.instanceof(Float64Array) })),
      }),
    }),
    z.object({
      ok: z.literal(false),
      name: z.string(),
      remark: z.looseObject({ code: z.string(), message: z.string(), remedy: z.string() }),
    }),
  ]),
});

/** Findings and the lens that the pattern fit used ("none" without one). */
export interface StoredOutcome {
  readonly lensKey: string;
  readonly outcome: PhotoOutcome;
}

/** The findings of a photo, or null where there are none of this engine version. */
export async function loadOutcome(photoId: string, engine: string): Promise<StoredOutcome | null> {
  const raw = await (await database()).get("outcomes", photoId);
  const parsed = storedOutcomeSchema.safeParse(raw);
  return parsed.success && parsed.data.engine === engine ? (raw as StoredOutcome) : null;
}

export async function saveOutcome(
  photoId: string,
  engine: string,
  stored: StoredOutcome,
): Promise<void> {
  await (await database()).put("outcomes", { engine, ...stored }, photoId);
}
