/** JSON Schemas (2020-12) of the record's file formats, by the name of the format. */
import { z } from "zod";
import { resultSchema } from "../job/result/result.ts";
import { profileSchema } from "../lens/profile.ts";
import { backupManifestSchema } from "./backup-manifest.ts";
import { revisionSchema } from "./revision.ts";
import { publicKeyFileSchema, signatureSchema } from "./signature.ts";
import { withheldSchema } from "./withheld.ts";

/** Formats that have a published schema of their own are named, not repeated. */
const published = new Map<unknown, string>([
  [resultSchema, "../../job/schemas/plumbshot-result.schema.json"],
  [profileSchema, "../../job/schemas/plumbshot-camera.schema.json"],
]);

const schemaOf = (schema: z.ZodType): unknown =>
  z.toJSONSchema(schema, {
    io: "output",
    reused: "inline",
    override: ({ zodSchema, jsonSchema }) => {
      const file = published.get(zodSchema);
      if (file) {
        for (const key of Object.keys(jsonSchema))
          delete jsonSchema[key as keyof typeof jsonSchema];
        jsonSchema.$ref = file;
      }
    },
  });

export const recordSchemas = (): Record<string, unknown> => ({
  "plumbshot-record": schemaOf(revisionSchema),
  "plumbshot-signature": schemaOf(signatureSchema),
  "plumbshot-public-key": schemaOf(publicKeyFileSchema),
  "plumbshot-backup": schemaOf(backupManifestSchema),
  "plumbshot-withheld": schemaOf(withheldSchema),
});
