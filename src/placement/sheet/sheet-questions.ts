import type { z } from "zod";
import { fieldName, reasonsOf } from "../../say/field-reason.ts";
import type { Remark } from "./codes.ts";
import {
  type PlacementSheet,
  placementFormat,
  placementSheetSchema,
  placementVersion,
} from "./sheet.ts";
import { checkRemarks, toleranceRemarks } from "./sheet-numbers.ts";
import { error, question } from "./sheet-remarks.ts";

/**
 * Reading a placement sheet: hard errors (it cannot be used) and questions (it can, but a number
 * looks like a slip). Every sentence names the field.
 */
export type SheetReading =
  | { readonly ok: true; readonly sheet: PlacementSheet; readonly remarks: readonly Remark[] }
  | { readonly ok: false; readonly remarks: readonly Remark[] };

/** Parses and questions a sheet. `input` is parsed JSON. */
export const readPlacementSheet = (input: unknown): SheetReading => {
  const head = headProblem(input);
  if (head) return { ok: false, remarks: [head] };
  const parsed = placementSheetSchema.safeParse(input);
  if (!parsed.success) {
    const remarks = parsed.error.issues.map((issue) => {
      const field = fieldName(issue.path) || "the sheet";
      return error(
        "sheet-field",
        field,
        `Placement sheet, ${field}: ${plainIssue(issue)}.`,
        "Correct this field and read the sheet again.",
        { reason: reasonsOf(issue) },
      );
    });
    return { ok: false, remarks };
  }
  const remarks = questionsAbout(parsed.data);
  return remarks.some((r) => r.severity === "error")
    ? { ok: false, remarks }
    : { ok: true, sheet: parsed.data, remarks };
};

const headProblem = (input: unknown): Remark | null => {
  if (typeof input !== "object" || input === null || Array.isArray(input)) {
    return error(
      "sheet-not-object",
      "the sheet",
      "The placement sheet is not a JSON object.",
      "Choose a file that Plumbshot wrote or that follows the published schema.",
    );
  }
  const { format, version } = input as { format?: unknown; version?: unknown };
  if (format !== placementFormat) {
    return error(
      "sheet-format",
      "format",
      `Placement sheet, format: expected "${placementFormat}", found ${JSON.stringify(format)}.`,
      "Choose a placement sheet.",
      { found: JSON.stringify(format) ?? "" },
    );
  }
  if (version !== placementVersion) {
    return error(
      "sheet-version",
      "version",
      `Placement sheet, version: this program reads version ${placementVersion}, ` +
        `found ${JSON.stringify(version)}.`,
      "Use a newer program, or save the sheet in this version.",
      { known: placementVersion, found: JSON.stringify(version) ?? "" },
    );
  }
  return null;
};

const plainIssue = (issue: z.core.$ZodIssue): string =>
  issue.code === "unrecognized_keys"
    ? `no field is called ${issue.keys.map((key) => `"${key}"`).join(" or ")}`
    : issue.message.replace(/^Invalid input: /, "").replace(/\.$/, "");

/** Questions and contradictions of a sheet that has the right form. */
export const questionsAbout = (sheet: PlacementSheet): Remark[] => [
  ...sourceQuestion(sheet),
  ...repeated(
    sheet.steps.map((s) => s.id),
    "steps",
    "step",
  ),
  ...sheet.steps.flatMap((step, s) => [
    ...repeated(
      step.checks.map((c) => c.id),
      `steps[${s}].checks`,
      "check",
    ),
    ...step.checks.flatMap((check, c) =>
      checkRemarks(check, `steps[${s}].checks[${c}]`, step.target.facing),
    ),
    ...(step.tiltSteps ?? []).flatMap((tilt, t) =>
      toleranceRemarks(
        tilt.lowerDeviation,
        tilt.upperDeviation,
        `steps[${s}].tiltSteps[${t}]`,
        "deg",
      ),
    ),
    ...(step.tiltSteps && step.target.kind !== "radar reflector plate"
      ? [
          question(
            "sheet-tilt-kind",
            `steps[${s}].tiltSteps`,
            `Step "${step.id}" tilts a ${step.target.kind} in steps; ` +
              "usually only a radar reflector plate is tilted.",
            "Check the kind of target.",
            { step: step.id, kind: step.target.kind },
          ),
        ]
      : []),
  ]),
];

/** The source is stated once for the sheet; a number from elsewhere says so itself. */
const sourceQuestion = ({ source, steps }: PlacementSheet): Remark[] => {
  const stated = steps.every(({ checks }) =>
    checks.every(({ reference }) => reference.trim() !== ""),
  );
  return source.trim() !== "" || stated
    ? []
    : [
        question(
          "sheet-no-reference",
          "source",
          "Placement sheet, source: it does not say where the numbers came from.",
          "Note document, page and date, so that the record can be followed later.",
        ),
      ];
};

const repeated = (ids: readonly string[], field: string, what: string): Remark[] =>
  [...new Set(ids.filter((id, i) => ids.indexOf(id) !== i))].map((id) =>
    error(
      "sheet-repeated-id",
      field,
      `Placement sheet, ${field}: the ${what} id "${id}" is used more than once.`,
      "Give each its own id.",
      { id },
    ),
  );
