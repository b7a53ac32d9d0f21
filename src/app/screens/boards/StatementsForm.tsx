import { useMemo } from "react";
import { parseJobFile } from "../../../job/file/parse-job.ts";
import type { Remark } from "../../../job/result/remark-codes.ts";
import { useJob } from "../../context/app-context.ts";
import { statements as statementNames, statementsSchema } from "../../forms/form-schemas.ts";
import { SchemaForm } from "../../forms/SchemaForm.tsx";
import { Remarks } from "../../parts/Notice.tsx";
import { jobFileInput } from "../../state/job-file.ts";
import { refusedInput } from "../../state/refused-input.ts";
import type { JobRecord } from "../../store/database/schema.ts";

/** The statements of job.json that have no screen of their own, from the schema of the file. */
export function StatementsForm() {
  const { session, state } = useJob();
  const { record } = state;
  const refused = useMemo(() => refusedStatements(record), [record]);
  return (
    <>
      <SchemaForm
        schema={statementsSchema()}
        value={record.boards.statements}
        onChange={(value) =>
          session.update((job) => ({
            ...job,
            boards: { ...job.boards, statements: value as Record<string, unknown> },
          }))
        }
      />
      <Remarks remarks={refused} />
    </>
  );
}

/** What the measurement would refuse of this form, said while it is being filled in. */
function refusedStatements(record: JobRecord): Remark[] {
  const parsed = parseJobFile(jobFileInput(record, []));
  return parsed.ok
    ? []
    : refusedInput(parsed).filter(({ values }) =>
        statementNames.some((name) => String(values?.field).startsWith(name)),
      );
}
