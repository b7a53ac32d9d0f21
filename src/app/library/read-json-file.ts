import { jsonLimits, readJson } from "../../job/file/bounded-json.ts";

/** What a JSON file holds; undefined where it is too large or no JSON. */
export async function readJsonFile(file: Blob): Promise<unknown> {
  if (file.size > 4 * jsonLimits.characters) {
    return undefined;
  }
  const reading = readJson(await file.text());
  return reading.ok ? reading.value : undefined;
}
