import { z } from "zod";
import type { PhotoOutcome } from "../../detect/findings/findings.ts";
import { all, database, write } from "./database/database.ts";
import { saving } from "./database/not-saved.ts";

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

/** Findings of many photos, read in one go; those of another engine version are left out. */
export async function loadOutcomes(
  photoIds: readonly string[],
  engine: string,
): Promise<Map<string, StoredOutcome>> {
  const { store } = (await database()).transaction("outcomes");
  const all = await Promise.all(photoIds.map(async (id) => [id, await store.get(id)] as const));
  const found = new Map<string, StoredOutcome>();
  for (const [id, raw] of all) {
    const parsed = storedOutcomeSchema.safeParse(raw);
    if (parsed.success && parsed.data.engine === engine) {
      found.set(id, raw as StoredOutcome);
    }
  }
  return found;
}

/** Which of these photos have findings, of whatever engine version. */
export async function examinedPhotos(photoIds: readonly string[]): Promise<ReadonlySet<string>> {
  const { store } = (await database()).transaction("outcomes");
  const keys = await Promise.all(photoIds.map((id) => store.getKey(id)));
  return new Set(keys.filter((key) => key !== undefined));
}

/** Findings that wait to be written, by photo. */
let waiting = new Map<string, StoredOutcome & { readonly engine: string }>();
let writing: Promise<void> = Promise.resolve();
let next: Promise<void> | null = null;

/**
 * Stores the findings of a photo; ends once they are written. What comes while a write runs goes
 * into the next one together.
 */
export function saveOutcome(photoId: string, engine: string, stored: StoredOutcome): Promise<void> {
  waiting.set(photoId, { engine, ...stored });
  next ??= writing.then(writeWaiting);
  const written = next;
  return saving(
    "findings",
    stored.outcome.ok ? stored.outcome.findings.name : stored.outcome.name,
    () => written,
  );
}

async function writeWaiting(): Promise<void> {
  const batch = waiting;
  waiting = new Map();
  next = null;
  const write = writeAll(batch);
  // A failure belongs to those who asked for this write, not to the next.
  writing = write.catch(() => undefined);
  return write;
}

const writeAll = (batch: ReadonlyMap<string, unknown>): Promise<void> =>
  write(["outcomes"], async ({ outcomes }) => {
    await all(
      [...batch].map(
        ([photoId, stored]) =>
          () =>
            outcomes.put(stored, photoId),
      ),
    );
  });
