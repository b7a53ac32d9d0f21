import { z } from "zod";
import { database } from "./database.ts";

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

export async function saveIntake(jobId: string, intake: Omit<Intake, "version">): Promise<void> {
  await (await database()).put("intake", { version: 1, ...intake }, jobId);
}

export async function clearIntake(jobId: string): Promise<void> {
  await (await database()).delete("intake", jobId);
}

export async function loadIntake(jobId: string): Promise<Intake | null> {
  const parsed = intakeSchema.safeParse(await (await database()).get("intake", jobId));
  return parsed.success ? parsed.data : null;
}
