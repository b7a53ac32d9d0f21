/** JSON Schemas (2020-12) of the acceptance test's file formats, by the name of the format. */
import { z } from "zod";
import { acceptanceFileSchema } from "./file/acceptance-file.ts";
import { acceptanceResultSchema } from "./result/result.ts";

export const acceptanceSchemas = (): Record<string, unknown> => ({
  "plumbshot-acceptance": z.toJSONSchema(acceptanceFileSchema, { io: "input", reused: "ref" }),
  "plumbshot-acceptance-result": z.toJSONSchema(acceptanceResultSchema, {
    io: "output",
    reused: "ref",
  }),
});
