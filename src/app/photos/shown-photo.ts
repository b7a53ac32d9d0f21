import { photoBytes } from "../store/photos.ts";
import { thumbs } from "./thumbs.ts";

/** A stored photo as a picture that this browser can show: HEIC may come as a grey copy. */
export async function shownPhoto(id: string): Promise<Blob | null> {
  const stored = await photoBytes(id);
  return stored && thumbs().shown(stored);
}
