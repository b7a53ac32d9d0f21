import type { z } from "zod";
import type { Said } from "../photo/remark.ts";
import { type ReasonCode, reasonsOf } from "../placement/field-reason.ts";
import { type JobFile, jobFileSchema } from "./job-file.ts";

/** Why a problem's field is refused, as data for other languages; beside each problem. */
export interface FieldReason {
  readonly field: string;
  readonly reason: readonly Said<ReasonCode>[];
}

export type ParsedJob =
  | { readonly ok: true; readonly job: JobFile }
  | {
      readonly ok: false;
      readonly problems: readonly string[];
      readonly reasons: readonly FieldReason[];
    };

const fieldName = (path: readonly PropertyKey[]): string =>
  path.reduce<string>(
    (name, part) =>
      typeof part === "number"
        ? `${name}[${part}]`
        : name
          ? `${name}.${String(part)}`
          : String(part),
    "",
  );

/** Edit distance of two short words, for 'did you mean'. */
const distance = (a: string, b: string): number => {
  let row = Array.from({ length: b.length + 1 }, (_, j) => j);
  for (let i = 1; i <= a.length; i++) {
    const next = [i];
    for (let j = 1; j <= b.length; j++)
      next[j] = Math.min(row[j] + 1, next[j - 1] + 1, row[j - 1] + (a[i - 1] === b[j - 1] ? 0 : 1));
    row = next;
  }
  return row[b.length];
};

const known = [
  ...Object.keys(jobFileSchema.shape),
  ...["cellMm", "printCheck", "ownScaleSd", "flatnessMm", "exceptions", "horizontal", "vertical"],
  ...["nominalMm", "readingMm", "readingSdMm", "from", "to", "lengthMm", "sdMm", "sdDeg", "note"],
  ...["frontLeft", "frontRight", "rearLeft", "rearRight", "standOffMm", "standOffSdMm"],
  ...["centringSdMm", "tiltSdDeg", "boardThicknessMm", "unevennessSdMm", "board"],
  ...[
    "centreMm",
    "turnDeg",
    "aboutX",
    "aboutY",
    "aboutZ",
    "shiftSdMm",
    "turnSdDeg",
    "widthMm",
    "heightMm",
    "feet",
    "inTargetMm",
    "boards",
    "inBoardMm",
    "meets",
    "misses",
    "photos",
    "name",
  ],
];

const didYouMean = (wrong: string): string => {
  const best = known
    .map((name) => ({ name, d: distance(wrong.toLowerCase(), name.toLowerCase()) }))
    .sort((a, b) => a.d - b.d)[0];
  return best.d <= Math.max(1, wrong.length / 3) ? ` Did you mean "${best.name}"?` : "";
};

const sentence = (issue: z.core.$ZodIssue): string => {
  const where = fieldName(issue.path) || "the file";
  if (issue.code === "unrecognized_keys")
    return issue.keys
      .map((key) => `${where}: no field is called "${key}".${didYouMean(key)}`)
      .join("\n  ");
  if (issue.code === "invalid_union" && issue.errors.length > 0) {
    const nested = issue.errors.reduce((a, b) => (b.length >= a.length ? b : a));
    return nested
      .map((inner) => sentence({ ...inner, path: [...issue.path, ...inner.path] }))
      .join("\n  ");
  }
  return `${where}: ${issue.message}.`;
};

/** Contradictions that a schema cannot express, each as a sentence that names the field. */
const contradictions = (job: JobFile): Contradiction[] => {
  const problems: Contradiction[] = [];
  const found = (field: string, words: string, reason: Said<ReasonCode>) =>
    problems.push({ field, problem: `${field}: ${words}`, reason: [reason] });
  const { frontLeft, frontRight, rearLeft, rearRight } = job.wheelPlates;
  const wheels = [frontLeft, frontRight, rearLeft, rearRight];
  if (new Set(wheels).size < 4)
    found("wheelPlates", "the same board id stands on two wheels.", { code: "reason: same-board" });
  for (const [i, { from, to }] of job.lengths.entries())
    if (from === to)
      found(`lengths[${i}]`, `from and to are the same board (${from}).`, {
        code: "reason: same-board",
      });
  for (const [i, target] of job.targets.entries()) {
    const field = `targets[${i}].boards`;
    const stand = target.boards.map((taught) => taught.board);
    if (new Set(stand).size < stand.length)
      found(field, "the same board is listed twice.", { code: "reason: same-board" });
    for (const board of stand)
      if (wheels.includes(board))
        found(field, `board ${board} is a wheel plate.`, {
          code: "reason: wheel-plate",
          values: { board },
        });
  }
  const points = job.plumbPoints.map((point) => point.name);
  for (const end of ["front", "rear"] as const) {
    const name = job.centreline?.[end];
    if (name !== undefined && !points.includes(name)) {
      const words = `there is no plumb point called "${name}".`;
      found(`centreline.${end}`, words, { code: "reason: no-point", values: { name } });
    }
  }
  if (job.levels.misses >= job.levels.meets)
    found("levels", "misses must be smaller than meets.", { code: "reason: levels" });
  return problems;
};

interface Contradiction extends FieldReason {
  readonly problem: string;
}

/** Parses a job file; every problem is a sentence that names the field. */
export const parseJobFile = (raw: unknown): ParsedJob => {
  const parsed = jobFileSchema.safeParse(raw);
  if (!parsed.success) {
    const { issues } = parsed.error;
    return {
      ok: false,
      problems: issues.map(sentence),
      reasons: issues.map((issue) => ({ field: fieldName(issue.path), reason: reasonsOf(issue) })),
    };
  }
  const found = contradictions(parsed.data);
  return found.length > 0
    ? { ok: false, problems: found.map(({ problem }) => problem), reasons: found }
    : { ok: true, job: parsed.data };
};
