/** JSON Schemas (2020-12) of the record's file formats, by the name of the format. */
import { z } from "zod";
import { revisionSchema } from "./revision.ts";
import { publicKeyFileSchema, signatureSchema } from "./signature.ts";

export const recordSchemas = (): Record<string, unknown> => ({
  "plumbshot-record": z.toJSONSchema(revisionSchema, { io: "output", reused: "ref" }),
  "plumbshot-signature": z.toJSONSchema(signatureSchema, { io: "output", reused: "ref" }),
  "plumbshot-public-key": z.toJSONSchema(publicKeyFileSchema, { io: "output", reused: "ref" }),
});
