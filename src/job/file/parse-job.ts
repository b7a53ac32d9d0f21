import { z } from "zod";
import { fieldName, type ReasonCode, reasonsOf } from "../../say/field-reason.ts";
import type { Said } from "../../say/remark.ts";
import { didYouMean } from "./did-you-mean.ts";
import { type JobFile, jobFileSchema, jobFileVersion } from "./job-file.ts";
import { withOwnDefaults } from "./own-defaults.ts";

/** Why a field of a job file is refused, on its own or beside the others. */
export type JobReasonCode =
  | ReasonCode
  | "reason: same-board"
  | "reason: same-name"
  | "reason: wheel-plate"
  | "reason: no-point"
  | "reason: levels";

/** Why a problem's field is refused, as data for other languages; beside each problem. */
export interface FieldReason {
  readonly field: string;
  readonly reason: readonly Said<JobReasonCode>[];
}

export type ParsedJob =
  | { readonly ok: true; readonly job: JobFile }
  | {
      readonly ok: false;
      readonly problems: readonly string[];
      readonly reasons: readonly FieldReason[];
    };

const sentence = (issue: z.core.$ZodIssue): string => {
  const where = fieldName(issue.path) || "the file";
  if (issue.code === "unrecognized_keys")
    return issue.keys
      .map((key) => `${where}: no field is called "${key}".${didYouMean(key, jobFileSchema)}`)
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
const contradictions = (job: JobFile): Contradiction[] => [
  ...boardContradictions(job),
  ...nameContradictions(job),
  ...(job.levels.misses >= job.levels.meets
    ? [contradiction("levels", "misses must be smaller than meets.", { code: "reason: levels" })]
    : []),
];

const contradiction = (
  field: string,
  words: string,
  reason: Said<JobReasonCode>,
): Contradiction => ({
  field,
  problem: `${field}: ${words}`,
  reason: [reason],
});

const sameBoard: Said<JobReasonCode> = { code: "reason: same-board" };

/** Boards that are to be two things at once. */
const boardContradictions = ({
  wheelPlates,
  lengths,
  targets,
  boards,
}: JobFile): Contradiction[] => {
  const { frontLeft, frontRight, rearLeft, rearRight } = wheelPlates;
  const wheels = [frontLeft, frontRight, rearLeft, rearRight];
  return [
    ...(new Set(wheels).size < 4
      ? [contradiction("wheelPlates", "the same board id stands on two wheels.", sameBoard)]
      : []),
    ...lengths.flatMap(({ from, to }, i) =>
      from === to
        ? [contradiction(`lengths[${i}]`, `from and to are the same board (${from}).`, sameBoard)]
        : [],
    ),
    ...repeats(boards.exceptions.map(({ id }) => id)).map(({ at, item }) =>
      contradiction(`boards.exceptions[${at}]`, `board ${item} has another exception.`, sameBoard),
    ),
    ...targets.flatMap((target, i) => {
      const field = `targets[${i}].boards`;
      const stand = target.boards.map(({ board }) => board);
      return [
        ...(repeats(stand).length > 0
          ? [contradiction(field, "the same board is listed twice.", sameBoard)]
          : []),
        ...stand
          .filter((board) => wheels.includes(board))
          .map((board) =>
            contradiction(field, `board ${board} is a wheel plate.`, {
              code: "reason: wheel-plate",
              values: { board },
            }),
          ),
      ];
    }),
  ];
};

/** Names that stand for two things, or for none. */
const nameContradictions = (job: JobFile): Contradiction[] => {
  const points = job.plumbPoints.map(({ name }) => name);
  const lists = {
    plumbPoints: points,
    targets: job.targets.map(({ name }) => name),
    positions: job.positions.map(({ name }) => name),
    standMoves: job.standMoves.map(({ name }) => name),
    phones: job.phones.map(({ name }) => name),
  };
  return [
    ...Object.entries(lists).flatMap(([field, names]) =>
      repeats(names).map(({ at, item }) =>
        contradiction(`${field}[${at}]`, `the name "${item}" is used twice.`, {
          code: "reason: same-name",
          values: { name: item },
        }),
      ),
    ),
    ...photosInTwoGroups("positions", job.positions),
    ...photosInTwoGroups("standMoves", job.standMoves),
    ...photosInTwoGroups("phones", job.phones),
    ...(["front", "rear"] as const).flatMap((end) => {
      const name = job.centreline?.[end];
      if (name === undefined || points.includes(name)) return [];
      const words = `there is no plumb point called "${name}".`;
      const reason = { code: "reason: no-point" as const, values: { name } };
      return [contradiction(`centreline.${end}`, words, reason)];
    }),
  ];
};

const photosInTwoGroups = (
  field: string,
  groups: readonly { readonly photos: readonly string[] }[],
): Contradiction[] => {
  const places = groups.flatMap(({ photos }, at) =>
    [...new Set(photos)].map((photo) => ({ photo, at })),
  );
  return repeats(places.map(({ photo }) => photo)).map(({ at, item }) =>
    contradiction(
      `${field}[${places[at].at}].photos`,
      `the photo "${item}" is already in another of these groups.`,
      { code: "reason: same-name", values: { name: item } },
    ),
  );
};

/** Items that stand earlier in the list, too, with their places. */
const repeats = <T>(items: readonly T[]): { readonly at: number; readonly item: T }[] =>
  items.flatMap((item, at) => (items.indexOf(item) < at ? [{ at, item }] : []));

interface Contradiction extends FieldReason {
  readonly problem: string;
}

/** Says that another version of the program wrote the file; null where no version is stated. */
const otherVersion = (raw: unknown): string | null => {
  const head = z.object({ version: z.number() }).safeParse(raw);
  return head.success
    ? `version: this program reads version ${jobFileVersion} of the job file, found ${head.data.version}.`
    : null;
};

/** Parses a job file; every problem is a sentence that names the field. */
export const parseJobFile = (raw: unknown): ParsedJob => {
  const parsed = jobFileSchema.safeParse(withOwnDefaults(raw));
  if (!parsed.success) {
    const { issues } = parsed.error;
    return {
      ok: false,
      problems: issues.map((issue) =>
        issue.path[0] === "version" ? (otherVersion(raw) ?? sentence(issue)) : sentence(issue),
      ),
      reasons: issues.map((issue) => ({ field: fieldName(issue.path), reason: reasonsOf(issue) })),
    };
  }
  const found = contradictions(parsed.data);
  return found.length > 0
    ? { ok: false, problems: found.map(({ problem }) => problem), reasons: found }
    : { ok: true, job: parsed.data };
};
