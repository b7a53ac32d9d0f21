import { type CameraProfile, profileSchema } from "../../lens/profile.ts";
import { database, write } from "./database/database.ts";
import { saving } from "./database/not-saved.ts";
import { listedJobSchema, listedTitle } from "./listings.ts";

/** A camera profile kept for later jobs. */
export interface StoredProfile {
  readonly id: string;
  readonly profile: CameraProfile;
}

/** A kept profile as it is offered for choice. */
export interface OfferedProfile extends StoredProfile {
  /** What the job is called whose photos it was estimated from; null where that is not known here. */
  readonly from: string | null;
}

export async function listProfiles(): Promise<StoredProfile[]> {
  const db = await database();
  const keys = await db.getAllKeys("profiles");
  const profiles: StoredProfile[] = [];
  for (const id of keys) {
    const parsed = profileSchema.safeParse(await db.get("profiles", id));
    if (parsed.success) {
      profiles.push({ id, profile: parsed.data });
    }
  }
  return profiles;
}

/** The same with the jobs that they come from: a profile is kept under the id of its job. */
export async function offeredProfiles(): Promise<OfferedProfile[]> {
  const db = await database();
  const offered: OfferedProfile[] = [];
  for (const kept of await listProfiles()) {
    const job = listedJobSchema.safeParse(await db.get("listings", kept.id));
    offered.push({ ...kept, from: job.success ? listedTitle(job.data, "") || null : null });
  }
  return offered;
}

export const saveProfile = (id: string, profile: CameraProfile): Promise<void> =>
  saving("profile", "", async () => {
    await (await database()).put("profiles", profile, id);
  });

/** Verdicts that rest on the profile are to be measured again without it. */
export const deleteProfile = (id: string): Promise<void> =>
  saving("deletion", "", () =>
    write(["profiles", "listings"], async ({ profiles, listings }) => {
      await profiles.delete(id);
      for await (const cursor of listings) {
        const row = listedJobSchema.safeParse(cursor.value);
        if (row.success && row.data.profileId === id && row.data.verdict !== "not measured") {
          await cursor.update({ ...row.data, verdict: "to be measured again" });
        }
      }
    }),
  );
