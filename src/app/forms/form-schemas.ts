import { z } from "zod";
import { jobFileSchema } from "../../job/file/job-file.ts";
import { placementSheetSchema } from "../../placement/sheet/sheet.ts";
import type { JsonSchema } from "./json-schema.ts";

/** The schemas that forms are generated from: the same that files are parsed with. */

const once = (make: () => JsonSchema): (() => JsonSchema) => {
  let made: JsonSchema | null = null;
  return () => {
    made ??= make();
    return made;
  };
};

export const sheetSchema = once(
  () => z.toJSONSchema(placementSheetSchema, { io: "input" }) as JsonSchema,
);

/** The parts of job.json that {@link statementsSchema} holds. */
export const statements = ["wheelPlates", "floor", "targets", "plumbPoints", "levels"] as const;

/** The statements of job.json that have no screen of their own. */
export const statementsSchema = once(() => {
  const whole = z.toJSONSchema(jobFileSchema, {
    io: "input",
    unrepresentable: "any",
  }) as JsonSchema;
  const properties = Object.fromEntries(
    statements.flatMap((name) => {
      const part = whole.properties?.[name];
      return part ? [[name, part]] : [];
    }),
  );
  return { type: "object", properties, $defs: whole.$defs };
});
