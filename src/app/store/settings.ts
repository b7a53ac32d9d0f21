import { database } from "./database/database.ts";
import { saving } from "./database/not-saved.ts";
import { defaultSettings, type Settings, settingsSchema } from "./database/schema.ts";

export async function loadSettings(): Promise<Settings> {
  const raw = await (await database()).get("settings", "app");
  const parsed = settingsSchema.partial().safeParse(raw ?? {});
  return { ...defaultSettings, ...(parsed.success ? parsed.data : {}) };
}

export const saveSettings = (settings: Settings): Promise<void> =>
  saving("settings", "", async () => {
    await (await database()).put("settings", settings, "app");
  });
