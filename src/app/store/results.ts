import { z } from "zod";
import { type Result, resultSchema } from "../../job/result/result.ts";
import type { CameraAnswer } from "../../job/run/run.ts";
import { profileSchema } from "../../lens/profile.ts";
import { all, database, write } from "./database/database.ts";
import { saving } from "./database/not-saved.ts";
import { readGuidance, type StoredGuidance } from "./guidance-record.ts";
import type { ListedJob } from "./listings.ts";

/** A stored result belongs to the inputs whose digest it carries. */
export interface StoredResult {
  readonly inputs: string;
  readonly result: Result;
}

export async function loadResult(jobId: string): Promise<StoredResult | null> {
  const raw = (await (await database()).get("results", jobId)) as
    | { inputs?: unknown; result?: unknown }
    | undefined;
  const parsed = resultSchema.safeParse(raw?.result);
  if (!parsed.success || typeof raw?.inputs !== "string") {
    return null;
  }
  return { inputs: raw.inputs, result: parsed.data };
}

export const saveResult = (stored: StoredResult, listing: ListedJob): Promise<void> =>
  saving("result", listing.title, () =>
    write(["results", "listings"], async ({ results, listings }) => {
      await all([() => results.put(stored, listing.id), () => listings.put(listing, listing.id)]);
    }),
  );

const cameraKey = (jobId: string): string => `${jobId}/camera`;

/** What the camera step of a job gave, for the sheet photos whose digest it carries. */
export interface StoredCamera {
  readonly inputs: string;
  readonly answer: CameraAnswer;
}

const storedCameraSchema = z.object({
  inputs: z.string(),
  answer: z.discriminatedUnion("ok", [
    z.object({
      ok: z.literal(true),
      camera: z.looseObject({ profile: profileSchema, source: z.string() }),
    }),
    z.object({ ok: z.literal(false), remarks: z.array(z.looseObject({ message: z.string() })) }),
  ]),
});

export async function loadCamera(jobId: string): Promise<StoredCamera | null> {
  const raw = await (await database()).get("results", cameraKey(jobId));
  return storedCameraSchema.safeParse(raw).success ? (raw as StoredCamera) : null;
}

export const saveCamera = (jobId: string, stored: StoredCamera): Promise<void> =>
  saving("camera", "", async () => {
    await (await database()).put("results", stored, cameraKey(jobId));
  });

const guidanceKey = (jobId: string): string => `${jobId}/guidance`;

export async function loadGuidance(jobId: string): Promise<StoredGuidance | null> {
  return readGuidance(await (await database()).get("results", guidanceKey(jobId)));
}

export const saveGuidance = (jobId: string, stored: StoredGuidance): Promise<void> =>
  saving("camera", "", async () => {
    await (await database()).put("results", stored, guidanceKey(jobId));
  });
