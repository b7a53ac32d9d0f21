import { z } from "zod";
import { jobFileSchema } from "../../job/job-file.ts";
import { useJob } from "../app-context.ts";
import type { JsonSchema } from "../forms/json-schema.ts";
import { SchemaForm } from "../forms/SchemaForm.tsx";

const shown = ["wheelPlates", "floor", "targets", "plumbPoints", "levels"] as const;

/** The statements of job.json that have no screen of their own, from the schema of the file. */
export function StatementsForm() {
  const { session, state } = useJob();
  const { statements } = state.record.boards;
  return (
    <SchemaForm
      schema={statementsSchema()}
      value={statements}
      onChange={(value) =>
        session.update((record) => ({
          ...record,
          boards: { ...record.boards, statements: value as Record<string, unknown> },
        }))
      }
    />
  );
}

let made: JsonSchema | null = null;

function statementsSchema(): JsonSchema {
  if (!made) {
    const whole = z.toJSONSchema(jobFileSchema, {
      io: "input",
      unrepresentable: "any",
    }) as JsonSchema;
    const properties = Object.fromEntries(
      shown.flatMap((name) => {
        const part = whole.properties?.[name];
        return part ? [[name, part]] : [];
      }),
    );
    made = { type: "object", properties, $defs: whole.$defs };
  }
  return made;
}
