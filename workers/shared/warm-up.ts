import { findBoards } from "../../src/detect/find-boards.ts";
import type { TagFinder } from "../../src/detect/tags/tag-finder.ts";
import type { LumaImage } from "../../src/photo/grey/luma.ts";
import { messagesFirst } from "./messages-first.ts";
import type { ExamineTask, PhotoDecoder } from "./vision-api.ts";
import { inventedPicture } from "./warm-up-pictures.ts";

export type Finders = Readonly<Record<ExamineTask["what"], TagFinder>>;
/** Makes a JPEG of a grey picture where the platform can. */
export type PictureEncoder = (picture: LumaImage) => Promise<Uint8Array | null>;

/** More rounds make a round hardly quicker, and every one leaves something in memory. */
const rounds = 2;
/** Where no sheet follows, its code needs no practice. What takes less time comes first. */
const practised = { sheet: ["boards", "sheet"], boards: ["boards"] } as const;

/**
 * Examines invented pictures until the code runs at full speed, or until `asked` says that there is
 * real work. Gives way to messages after every picture; a failure says nothing and matters nothing.
 */
export async function warmUpVision(
  finders: Finders,
  next: ExamineTask["what"],
  decode: PhotoDecoder,
  encode: PictureEncoder | undefined,
  asked: () => boolean,
): Promise<void> {
  try {
    const pictures = practised[next].map((what) => ({ what, picture: inventedPicture(what) }));
    const file = (await encode?.(pictures[0].picture)) ?? null;
    for (let round = 0; round < rounds; round++)
      for (const { what, picture } of pictures) {
        await messagesFirst();
        if (asked()) return;
        // Without a lens: with one these pictures, sharper than any photo, would be taken for bent prints.
        findBoards(picture, finders[what], { what });
        if (file) await decode(file.slice(), "practice");
      }
  } catch {
    // The first real photo will tell what is wrong.
  }
}
