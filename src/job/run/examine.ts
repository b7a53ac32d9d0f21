import { findBoards } from "../../detect/find-boards.ts";
import type { Remark } from "../../detect/findings/codes.ts";
import type { PhotoOutcome } from "../../detect/findings/findings.ts";
import type { TagFinder } from "../../detect/tags/tag-finder.ts";
import type { PhotoIdentity } from "../../lens/identity.ts";
import type { Lens } from "../../lens/lens.ts";
import { cameraOfPhoto } from "../../lens/which-camera.ts";
import type { DecodedPhoto } from "../../photo/decode.ts";
import type { LensChoice } from "./run.ts";

export interface ExamineRequest extends LensChoice {
  readonly name: string;
  readonly what: "boards" | "sheet";
}

/** The lens that a photo is looked at through; null where none is its own. */
const lensOf = ({ lens, cameras, phone = null }: LensChoice, photo: PhotoIdentity): Lens | null => {
  if (!cameras) return lens;
  const own = cameraOfPhoto(cameras, photo, phone);
  return own.ok ? own.match.lens : null;
};

/**
 * Everything that can be said about one decoded photo by itself: boards (or the camera sheet) with
 * their quality, and remarks that name the photo. `now` is a clock in ms.
 */
export const examinePhoto = (
  decoded: DecodedPhoto,
  finder: TagFinder,
  request: ExamineRequest,
  decodeMs: number,
  now: () => number,
): PhotoOutcome => {
  const { name, what } = request;
  if (!decoded.ok)
    return {
      ok: false,
      name,
      remark: { ...decoded.remark, message: naming(name, decoded.remark) },
    };
  const { luma, exif } = decoded;
  const lens = lensOf(request, { name, width: luma.width, height: luma.height, exif });
  const found = findBoards(luma, finder, { what, lens, now });
  const remarks: Remark[] = [...decoded.remarks, ...found.remarks].map((remark) => ({
    ...remark,
    message: naming(name, remark),
    about: remark.about ?? name,
  }));
  if (found.boards.length === 0) remarks.push(nothingFound(name, what));
  return {
    ok: true,
    findings: {
      name,
      width: luma.width,
      height: luma.height,
      exif,
      boards: found.boards,
      remarks,
      timesMs: { decode: decodeMs, ...found.timesMs },
    },
  };
};

const naming = (name: string, remark: Remark): string =>
  remark.message.includes(name) ? remark.message : `${name}: ${remark.message}`;

const nothingFound = (name: string, what: "boards" | "sheet"): Remark => ({
  code: what === "sheet" ? "no-sheet" : "no-board",
  severity: "warning",
  message:
    what === "sheet"
      ? `${name}: the camera sheet was not found in this photo.`
      : `${name}: no board was found in this photo; it is not used.`,
  remedy:
    what === "sheet"
      ? "Take it again with the whole sheet in view, sharp and evenly lit."
      : "Take it again with at least three boards in view, sharp and evenly lit.",
  about: name,
});
