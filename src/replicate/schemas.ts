/** JSON Schemas (2020-12) of the replication's file formats, by the name of the format. */
import { z } from "zod";
import { invitationSchema, keyFileSchema } from "./formats/address.ts";
import { indexObjectSchema } from "./formats/index-object.ts";
import { jobLensSchema } from "./formats/job-lens.ts";
import { jobPhotoSchema, sharedJobSchema } from "./formats/job-photo.ts";
import { keyRingSchema } from "./formats/key-ring.ts";
import { removalSchema } from "./formats/removal.ts";
import { shopItemSchema } from "./formats/shop-item.ts";
import { replicaStateSchema } from "./sync/state.ts";

export const replicateSchemas = (): Record<string, unknown> =>
  Object.fromEntries(
    Object.entries({
      "plumbshot-index": indexObjectSchema,
      "plumbshot-shop-item": shopItemSchema,
      "plumbshot-removal": removalSchema,
      "plumbshot-shared-job": sharedJobSchema,
      "plumbshot-job-photo": jobPhotoSchema,
      "plumbshot-job-lens": jobLensSchema,
      "plumbshot-key-ring": keyRingSchema,
      "plumbshot-shop-key": keyFileSchema,
      "plumbshot-invitation": invitationSchema,
      "plumbshot-replica-state": replicaStateSchema,
    }).map(([name, schema]) => [name, z.toJSONSchema(schema, { io: "output", reused: "inline" })]),
  );
