import { z } from "zod";
import { profileSchema } from "../lens/profile.ts";
import { placementSheetSchema } from "../placement/sheet/sheet.ts";
import { targetLibrarySchema } from "../placement/target/target-library.ts";
import { jobFileSchema } from "./file/job-file.ts";
import { resultSchema } from "./result/result.ts";
import { teachFileSchema } from "./teach/teach-target.ts";

/** JSON Schemas (2020-12) of every file format, by the name of the format. */
export const publishedSchemas = (): Record<string, unknown> => ({
  "plumbshot-job": z.toJSONSchema(jobFileSchema, { io: "input", reused: "ref" }),
  "plumbshot-placement": z.toJSONSchema(placementSheetSchema, { io: "input", reused: "ref" }),
  "plumbshot-camera": z.toJSONSchema(profileSchema, { io: "input", reused: "ref" }),
  "plumbshot-targets": z.toJSONSchema(targetLibrarySchema, { io: "input", reused: "ref" }),
  "plumbshot-teach": z.toJSONSchema(teachFileSchema, { io: "input", reused: "ref" }),
  "plumbshot-result": z.toJSONSchema(resultSchema, { io: "output", reused: "ref" }),
});
