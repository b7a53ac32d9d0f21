/** Lines for the shop's books: one per check of each closed revision (RFC 4180). */
import type { Revision } from "./revision.ts";
import type { Sha256 } from "./sha256.ts";

export interface CsvStyle {
  /** Spreadsheets of countries with a decimal comma want semicolons between the fields. */
  readonly separator: "," | ";";
  readonly decimal: "." | ",";
}

type Cell = string | number | null;

const columns = [
  "closed_at",
  "record",
  "revision",
  "sha256",
  "invented",
  "plate",
  "vin",
  "vehicle",
  "odometer",
  "customer",
  "technician",
  "shop",
  "procedure",
  "sheet",
  "step",
  "measured_at",
  "outcome",
  "check",
  "check_name",
  "unit",
  "required",
  "lower",
  "upper",
  "measured",
  "expanded_uncertainty_95",
  "conformance_probability",
  "verdict",
  "reference",
  "open_points",
  "program",
] as const;

/** Head line and lines of all revisions, each ended by CR LF. */
export function csvOf(
  revisions: readonly { readonly sha256: Sha256; readonly revision: Revision }[],
  style: CsvStyle = { separator: ",", decimal: "." },
): string {
  const lines = revisions.flatMap(({ sha256, revision }) => linesOf(sha256, revision));
  return [columns as readonly Cell[], ...lines]
    .map((cells) => cells.map((cell) => written(cell, style)).join(style.separator))
    .map((line) => `${line}\r\n`)
    .join("");
}

function linesOf(sha256: Sha256, revision: Revision): Cell[][] {
  const { content } = revision;
  const { car, work, result, steps, job } = content;
  const results = [
    ...steps.map(({ id, result: kept }) => ({ step: id, result: kept })),
    ...(result ? [{ step: typeof job.step === "string" ? job.step : "", result }] : []),
  ];
  const sheet = (job.placement as { title?: unknown } | null)?.title;
  const head: Cell[] = [
    revision.closedAt,
    revision.record,
    revision.number,
    sha256,
    content.invented ? "yes" : "no",
    car.plate,
    car.vin,
    car.description,
    car.odometer,
    car.customer,
    work.technician,
    work.shop,
    work.procedure,
    typeof sheet === "string" ? sheet : "",
  ];
  const tail: Cell[] = [revision.openPoints.length, revision.program];
  if (results.length === 0) {
    return [
      [...head, ...new Array<Cell>(columns.length - head.length - tail.length).fill(""), ...tail],
    ];
  }
  return results.flatMap(({ step, result: found }) =>
    found.checks.map((check): Cell[] => [
      ...head,
      step,
      found.measuredAt,
      found.outcome,
      check.id,
      check.label,
      check.unit,
      check.required,
      check.lower,
      check.upper,
      check.measured,
      check.expandedUncertainty,
      check.probability,
      check.verdict,
      check.reference,
      ...tail,
    ]),
  );
}

function written(cell: Cell, { separator, decimal }: CsvStyle): string {
  if (cell === null) return "";
  if (typeof cell === "number") return String(cell).replace(".", decimal);
  // A spreadsheet would compute what begins like a formula.
  const text = /^[=+\-@\t\r]/.test(cell) ? `'${cell}` : cell;
  return /["\r\n]/.test(text) || text.includes(separator) || text.includes(decimal)
    ? `"${text.replaceAll('"', '""')}"`
    : text;
}
