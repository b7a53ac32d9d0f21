import { z } from "zod";
import { database } from "./database/database.ts";

/**
 * Photos that were chosen but are not stored yet, and whether the phone's camera is open over the
 * page. A phone may end the page at any of these moments; when the job is opened again, this says
 * which photos to ask for once more.
 */
const intakeSchema = z.object({
  version: z.literal(1),
  names: z.array(z.string()),
  cameraOpen: z.boolean(),
});
export type Intake = z.infer<typeof intakeSchema>;

/** Never fails: without the note a photo may be missed without a word, which is no reason to stop. */
export async function saveIntake(jobId: string, intake: Omit<Intake, "version">): Promise<void> {
  try {
    await (await database()).put("intake", { version: 1, ...intake }, jobId);
  } catch (error) {
    console.warn(error);
  }
}

/** Never fails: a note that stays asks for photos that are there, which is said again next time. */
export async function clearIntake(jobId: string): Promise<void> {
  try {
    await (await database()).delete("intake", jobId);
  } catch (error) {
    console.warn(error);
  }
}

export async function loadIntake(jobId: string): Promise<Intake | null> {
  const parsed = intakeSchema.safeParse(await (await database()).get("intake", jobId));
  return parsed.success ? parsed.data : null;
}
