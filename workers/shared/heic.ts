import {
  type DecodedPhoto,
  describePhoto,
  isOutOfMemory,
  outOfMemory,
} from "../../src/photo/decode.ts";
import type { Remark } from "../../src/photo/file/codes.ts";
import {
  damagedHeic,
  severalPictures,
  tooManyBytes,
  tooManyPixels,
  unsupportedHeic,
} from "../../src/photo/file/photo-remarks.ts";
import { formatRemark } from "../../src/photo/file/sniff.ts";
import type { LumaImage } from "../../src/photo/grey/luma.ts";
import { LumaMemory } from "../../src/photo/grey/luma-memory.ts";
import { type HeifFacts, readHeif } from "../../src/photo/heif/heif.ts";
import { maxBytes, maxPixels } from "../../src/photo/jpeg/jpeg.ts";
import { HeicDamaged, HeicTooLarge, HeicWithoutGrey, heicLuma } from "./heic-luma.ts";
import type { LibHeif, LibHeifBundle } from "./libheif.ts";

/** A module that grew beyond this is dropped after the photo: its memory never shrinks. */
const keptBytes = 48e6;

/** The platform's own way to the grey values, where it has one; null where it failed or has none. */
export type OwnHeicDecoder = (bytes: Uint8Array, facts: HeifFacts) => Promise<LumaImage | null>;

/** Decodes HEIC; libheif is loaded with the first photo that needs it. */
export function heicDecoder(
  load: () => Promise<LibHeifBundle>,
  memory = new LumaMemory(),
  own: OwnHeicDecoder | null = null,
): (bytes: Uint8Array, name: string) => Promise<DecodedPhoto> {
  let kept: LibHeif | null = null;
  const library = async (): Promise<LibHeif> => {
    kept ??= (await load()).default();
    return kept;
  };
  const failed = (remark: Remark, name: string): DecodedPhoto => ({
    ok: false,
    remark: { ...remark, about: name },
  });
  return async (bytes, name) => {
    if (bytes.length > maxBytes) return failed(tooManyBytes(bytes.length, maxBytes), name);
    const facts = readHeif(bytes);
    if (!facts) return failed(damagedHeic("its list of pictures"), name);
    const told = (luma: LumaImage): DecodedPhoto => {
      const photo = describePhoto(luma, bytes, "heic", name);
      if (!photo.ok || facts.pictures < 2) return photo;
      return { ...photo, remarks: [...photo.remarks, severalPictures(facts.pictures, name)] };
    };
    const ready = await own?.(bytes, facts);
    if (ready) return told(ready);
    let lib: LibHeif;
    try {
      lib = await library();
    } catch {
      return failed(formatRemark("heic", name), name);
    }
    try {
      return told(heicLuma(lib, bytes, facts.cut, memory));
    } catch (error) {
      kept = null;
      return failed(remarkOf(error, name), name);
    } finally {
      if (lib.HEAPU8.length > keptBytes) kept = null;
    }
  };
}

function remarkOf(error: unknown, name: string): Remark {
  if (error instanceof HeicDamaged) return damagedHeic(error.message);
  if (error instanceof HeicWithoutGrey) return unsupportedHeic();
  if (error instanceof HeicTooLarge)
    return tooManyPixels(error.width, error.height, "a photo", maxPixels);
  // The module stops with an error of its own where its memory cannot grow.
  if (isOutOfMemory(error) || /memory|OOM/i.test(String(error))) return outOfMemory(name);
  return damagedHeic("the decoder stopped");
}
