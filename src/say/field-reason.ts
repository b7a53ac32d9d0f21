import type { z } from "zod";
import type { Said } from "./remark.ts";

/** Why a field of a file is refused, as data for other languages. */
export type ReasonCode =
  | "reason: missing"
  | "reason: kind"
  | "reason: least"
  | "reason: most"
  | "reason: step"
  | "reason: form"
  | "reason: choice"
  | "reason: unknown-field"
  | "reason: variant"
  | "reason: rule";

/** A path in a file as a person writes it: "steps[0].checks[2].required"; "" for the whole file. */
export const fieldName = (path: readonly PropertyKey[]): string =>
  path
    .map((part) => (typeof part === "number" ? `[${part}]` : `.${String(part)}`))
    .join("")
    .replace(/^\./, "");

/** One issue of a schema; of several variants, the one that says most. */
export const reasonsOf = (issue: z.core.$ZodIssue): Said<ReasonCode>[] => {
  switch (issue.code) {
    case "invalid_type":
      return issue.input === undefined && issue.message.includes("received undefined")
        ? [{ code: "reason: missing" }]
        : [{ code: "reason: kind", values: { expected: issue.expected } }];
    case "too_small":
      return [{ code: "reason: least", values: bound(issue, issue.minimum) }];
    case "too_big":
      return [{ code: "reason: most", values: bound(issue, issue.maximum) }];
    case "not_multiple_of":
      return [{ code: "reason: step", values: { limit: issue.divisor } }];
    case "invalid_format":
      return [{ code: "reason: form" }];
    case "invalid_value":
      return [{ code: "reason: choice", values: { choices: issue.values.map(String) } }];
    case "unrecognized_keys":
      return [{ code: "reason: unknown-field", values: { names: issue.keys } }];
    case "invalid_union":
      return issue.errors.length > 0
        ? issue.errors.reduce((a, b) => (b.length >= a.length ? b : a)).flatMap(reasonsOf)
        : [{ code: "reason: variant" }];
    default:
      return [{ code: "reason: rule" }];
  }
};

const bound = (
  { origin, inclusive }: { readonly origin: string; readonly inclusive?: boolean },
  limit: number | bigint,
): { of: string; inclusive: string; limit: number } => ({
  of: origin === "string" ? "text" : origin === "array" || origin === "set" ? "list" : "number",
  inclusive: inclusive === false ? "no" : "yes",
  limit: Number(limit),
});
