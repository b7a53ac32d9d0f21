import { z } from "zod";
import { type AcceptanceResult, acceptanceResultSchema } from "../../acceptance/result/result.ts";
import type { PhotoOutcome } from "../../detect/findings/findings.ts";
import { database } from "./database/database.ts";
import { saving } from "./database/not-saved.ts";

/**
 * The shop's acceptance test as far as it was entered: lengths, instruments, rounds with what was
 * found in their photos, the last result. One for the device. Millimetres.
 */
const key = "acceptance";

export const instrumentKinds = ["steel tape", "laser meter", "calibrated length"] as const;

const instrumentSchema = z.object({
  id: z.string(),
  kind: z.enum(instrumentKinds),
  name: z.string(),
  class: z.enum(["I", "II", "III"]),
  fromHook: z.boolean(),
  withinMm: z.number().nullable(),
  expandedMm: z.number().nullable(),
});
export type DraftInstrument = z.infer<typeof instrumentSchema>;

const lengthSchema = z.object({
  id: z.string(),
  use: z.enum(["test", "scale"]),
  from: z.number().nullable(),
  to: z.number().nullable(),
  instrument: z.string(),
  readingsMm: z.array(z.number().nullable()),
});
export type DraftLength = z.infer<typeof lengthSchema>;

const outcomeSchema = z.custom<PhotoOutcome>(
  (value) => typeof value === "object" && value !== null && "ok" in value,
);

const roundSchema = z.object({
  id: z.string(),
  profileId: z.string().nullable(),
  person: z.string(),
  photos: z.array(z.object({ name: z.string(), outcome: outcomeSchema })),
});
export type DraftRound = z.infer<typeof roundSchema>;

const draftSchema = z.object({
  version: z.literal(1),
  plates: z.string(),
  barHorizontalMm: z.number().nullable(),
  barVerticalMm: z.number().nullable(),
  temperatureC: z.number().nullable(),
  fixedMm: z.number().nullable(),
  perMetreMm: z.number().nullable(),
  everyDays: z.number().nullable(),
  instruments: z.array(instrumentSchema),
  lengths: z.array(lengthSchema),
  rounds: z.array(roundSchema),
});
export type AcceptanceDraft = z.infer<typeof draftSchema>;

const storedSchema = z.object({
  draft: draftSchema,
  result: acceptanceResultSchema.nullable().catch(null),
  stale: z.boolean(),
});

export interface StoredAcceptance {
  readonly draft: AcceptanceDraft;
  readonly result: AcceptanceResult | null;
  /** Something was changed since the result. */
  readonly stale: boolean;
}

/** Null where nothing was entered yet, or another version wrote it. */
export async function loadAcceptance(): Promise<StoredAcceptance | null> {
  const parsed = storedSchema.safeParse(await (await database()).get("settings", key));
  return parsed.success ? parsed.data : null;
}

export const saveAcceptance = (stored: StoredAcceptance): Promise<void> =>
  saving("settings", "", async () => {
    await (await database()).put("settings", stored, key);
  });
