import type { ParsedJob } from "../../job/file/parse-job.ts";
import type { Remark } from "../../job/result/remark-codes.ts";

/** Why a job's entries cannot be measured with, one remark per field. */
export const refusedInput = ({
  problems,
  reasons,
}: Extract<ParsedJob, { readonly ok: false }>): Remark[] =>
  problems.map((message, at) => {
    const { field, reason } = reasons[at];
    return {
      code: "job-input",
      values: { field, reason },
      severity: "error",
      message,
      remedy: "",
    };
  });
