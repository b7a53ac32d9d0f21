import { readPlacementSheet, type SheetReading } from "../../placement/sheet/sheet-questions.ts";
import { database, newId } from "../store/database/database.ts";
import { saving } from "../store/database/not-saved.ts";
import { readJsonFile } from "./read-json-file.ts";

/** A placement sheet kept for later jobs. */
export interface KeptSheet {
  readonly id: string;
  readonly title: string;
  readonly sheet: unknown;
}

export async function listSheets(): Promise<KeptSheet[]> {
  const db = await database();
  const keys = await db.getAllKeys("sheets");
  const sheets: KeptSheet[] = [];
  for (const id of keys) {
    const sheet = await db.get("sheets", id);
    const title = (sheet as { title?: unknown } | null)?.title;
    sheets.push({ id, title: typeof title === "string" ? title : id, sheet });
  }
  return sheets.sort((a, b) => a.title.localeCompare(b.title));
}

export const keepSheet = (sheet: unknown): Promise<void> =>
  saving("sheet", "", async () => {
    await (await database()).put("sheets", sheet, newId());
  });

export const forgetSheet = (id: string): Promise<void> =>
  saving("deletion", "", async () => {
    await (await database()).delete("sheets", id);
  });

/** Reads a sheet file; what is wrong comes back as remarks. */
export async function readSheetFile(file: File): Promise<SheetReading> {
  const raw = await readJsonFile(file);
  if (raw !== undefined) {
    return readPlacementSheet(raw);
  }
  return {
    ok: false,
    remarks: [
      {
        code: "sheet-not-json",
        severity: "error",
        message: `${file.name} is not a placement sheet: it is not valid JSON.`,
        remedy: "Choose a file that Plumbshot wrote or that follows the published schema.",
        about: file.name,
      },
    ],
  };
}
