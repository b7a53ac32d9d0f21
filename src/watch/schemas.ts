import { z } from "zod";
import { watchLogFormat, watchLogSchema } from "./log.ts";

/** The JSON Schema (2020-12) of a watch's log. */
export const watchSchemas = (): Record<string, unknown> => ({
  [watchLogFormat]: z.toJSONSchema(watchLogSchema, { io: "output", reused: "ref" }),
});
