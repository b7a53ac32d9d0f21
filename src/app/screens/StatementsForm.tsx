import { useJob } from "../app-context.ts";
import { statementsSchema } from "../forms/form-schemas.ts";
import { SchemaForm } from "../forms/SchemaForm.tsx";

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
