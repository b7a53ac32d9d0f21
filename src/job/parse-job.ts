import type { z } from "zod";
import { type JobFile, jobFileSchema } from "./job-file.ts";

export type ParsedJob =
  | { readonly ok: true; readonly job: JobFile }
  | { readonly ok: false; readonly problems: readonly string[] };

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
const contradictions = (job: JobFile): string[] => {
  const problems: string[] = [];
  const { frontLeft, frontRight, rearLeft, rearRight } = job.wheelPlates;
  const wheels = [frontLeft, frontRight, rearLeft, rearRight];
  if (new Set(wheels).size < 4)
    problems.push("wheelPlates: the same board id stands on two wheels.");
  for (const [i, length] of job.lengths.entries())
    if (length.from === length.to)
      problems.push(`lengths[${i}]: from and to are the same board (${length.from}).`);
  for (const [i, target] of job.targets.entries()) {
    const stand = target.boards.map((taught) => taught.board);
    if (new Set(stand).size < stand.length)
      problems.push(`targets[${i}].boards: the same board is listed twice.`);
    for (const id of stand)
      if (wheels.includes(id)) problems.push(`targets[${i}].boards: board ${id} is a wheel plate.`);
  }
  const points = job.plumbPoints.map((point) => point.name);
  for (const end of ["front", "rear"] as const) {
    const name = job.centreline?.[end];
    if (name !== undefined && !points.includes(name))
      problems.push(`centreline.${end}: there is no plumb point called "${name}".`);
  }
  if (job.levels.misses >= job.levels.meets)
    problems.push("levels: misses must be smaller than meets.");
  return problems;
};

/** Parses a job file; every problem is a sentence that names the field. */
export const parseJobFile = (raw: unknown): ParsedJob => {
  const parsed = jobFileSchema.safeParse(raw);
  if (!parsed.success) return { ok: false, problems: parsed.error.issues.map(sentence) };
  const problems = contradictions(parsed.data);
  return problems.length > 0 ? { ok: false, problems } : { ok: true, job: parsed.data };
};
