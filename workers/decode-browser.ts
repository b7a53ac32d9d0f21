/** Photo decoding in a browser worker. */
import { type DecodedPhoto, decodePhoto } from "../src/photo/decode.ts";

/** Decodes a photo file to luma in sensor orientation, without a canvas where it can be avoided. */
export async function decodePhotoInBrowser(bytes: Uint8Array, name: string): Promise<DecodedPhoto> {
  return decodePhoto(bytes, name);
}
