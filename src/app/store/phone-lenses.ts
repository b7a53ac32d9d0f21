import { z } from "zod";
import { profileSchema } from "../../lens/profile.ts";
import { database } from "./database/database.ts";
import { saving } from "./database/not-saved.ts";

/**
 * Lenses of the other phones that work on a job, as these phones measured them or had them kept. They
 * lie beside the job, so that one that arrives meets no entry that is just being typed.
 */
export const phoneLensSchema = z.object({
  /** The phone's name among the shop's devices, as its photos carry it. */
  phone: z.string().min(1),
  source: z.enum(["sheet photos", "saved profile"]),
  profile: profileSchema,
  /** ISO 8601, the other phone's own clock; the newest counts. */
  since: z.string(),
});
export type PhoneLens = z.infer<typeof phoneLensSchema>;

export const phonesKey = (jobId: string): string => `${jobId}/phones`;

export async function loadPhoneLenses(jobId: string): Promise<readonly PhoneLens[]> {
  const raw = await (await database()).get("results", phonesKey(jobId));
  return z.array(phoneLensSchema).safeParse(raw).data ?? [];
}

/** Keeps a phone's lens for a job; an older one of the same phone never replaces a newer one. */
export const keepPhoneLens = (jobId: string, lens: PhoneLens): Promise<void> =>
  saving("camera", "", async () => {
    const known = await loadPhoneLenses(jobId);
    const present = known.find(({ phone }) => phone === lens.phone);
    if (present && present.since >= lens.since) return;
    const others = known.filter((one) => one !== present);
    const next = [...others, lens].sort((a, b) => a.phone.localeCompare(b.phone, "en"));
    await (await database()).put("results", next, phonesKey(jobId));
  });
