import type { Result } from "../../../job/result/result.ts";
import type { PhotoRecord } from "../../store/database/schema.ts";

/**
 * What the result says of a photo. It knows bay photos only, by name: a sheet photo or one of a target
 * may bear the same name, and what was said of that one is not about it.
 */
export const resultOfPhoto = (
  result: Result | undefined,
  { name, purpose }: Pick<PhotoRecord, "name" | "purpose">,
): Result["photos"][number] | undefined =>
  purpose === "boards" ? result?.photos.find((item) => item.name === name) : undefined;
