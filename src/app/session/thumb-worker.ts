import { expose } from "comlink";

/**
 * Small pictures and fingerprints, off the main thread. A browser that cannot decode a photo gives
 * no thumbnail; the photo itself is kept all the same.
 */
const api = {
  /** A JPEG of at most `side` pixels, turned as the camera was held, or null. */
  async thumb(blob: Blob, side: number): Promise<Blob | null> {
    try {
      const whole = await createImageBitmap(blob, { resizeWidth: side, resizeQuality: "medium" });
      const canvas = new OffscreenCanvas(whole.width, whole.height);
      canvas.getContext("2d")?.drawImage(whole, 0, 0);
      whole.close();
      const small = await canvas.convertToBlob({ type: "image/jpeg", quality: 0.75 });
      canvas.width = 0;
      canvas.height = 0;
      return small;
    } catch {
      return null;
    }
  },

  /** Two 32-bit FNV-1a sums and the length: enough to tell the same file from another. */
  async fingerprint(blob: Blob): Promise<string> {
    const bytes = new Uint8Array(await blob.arrayBuffer());
    let a = 0x811c9dc5;
    let b = 0x01000193;
    for (let i = 0; i < bytes.length; i++) {
      a = Math.imul(a ^ bytes[i], 0x01000193);
      b = Math.imul(b ^ bytes[bytes.length - 1 - i], 0x01000193);
    }
    return `${bytes.length}-${(a >>> 0).toString(16)}-${(b >>> 0).toString(16)}`;
  },
};

export type ThumbApi = typeof api;
expose(api);
