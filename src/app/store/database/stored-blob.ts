import { z } from "zod";

/** A Blob, or its bytes where the browser cannot store the Blob itself; read, it is a Blob again. */
export const storedBlobSchema = z.union([
  z.instanceof(Blob),
  z
    .object({ bytes: z.instanceof(ArrayBuffer), type: z.string() })
    .transform(({ bytes, type }) => new Blob([bytes], { type })),
]);
export type StoredBlob = z.input<typeof storedBlobSchema>;
