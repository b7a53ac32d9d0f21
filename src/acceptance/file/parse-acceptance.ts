import { fieldName } from "../../say/field-reason.ts";
import {
  type AcceptanceFile,
  type AcceptanceLength,
  acceptanceFileSchema,
} from "./acceptance-file.ts";

export type ParsedAcceptance =
  | { readonly ok: true; readonly file: AcceptanceFile }
  | { readonly ok: false; readonly problems: readonly string[] };

/** Parses an acceptance file; every problem is a sentence that names the field. */
export const parseAcceptance = (raw: unknown): ParsedAcceptance => {
  const parsed = acceptanceFileSchema.safeParse(raw);
  if (!parsed.success)
    return {
      ok: false,
      problems: parsed.error.issues.map(
        ({ path, message }) => `${fieldName(path) || "the file"}: ${message}.`,
      ),
    };
  const problems = contradictions(parsed.data);
  return problems.length > 0 ? { ok: false, problems } : { ok: true, file: parsed.data };
};

const pairOf = ({ from, to }: AcceptanceLength): string =>
  [from, to].sort((a, b) => a - b).join("-");

const contradictions = (file: AcceptanceFile): string[] => {
  const instruments = file.instruments.map(({ name }) => name);
  const rounds = file.rounds.map(({ name }) => name);
  const given = new Set(file.scale.map(pairOf));
  const seen = new Set<string>();
  const ofLength = (field: string, length: AcceptanceLength): string[] => [
    ...(length.from === length.to ? [`${field}: from and to are the same board.`] : []),
    ...(instruments.includes(length.instrument)
      ? []
      : [`${field}.instrument: there is no instrument called "${length.instrument}".`]),
    ...apart(field, length),
  ];
  return [
    ...twice("instruments", instruments),
    ...twice("rounds", rounds),
    ...twice(
      "rounds (photos)",
      file.rounds.map(({ photos }) => photos),
    ),
    ...file.scale.flatMap((length, i) => ofLength(`scale[${i}]`, length)),
    ...file.lengths.flatMap((length, i) => {
      const field = `lengths[${i}]`;
      const again = seen.has(pairOf(length));
      seen.add(pairOf(length));
      return [
        ...ofLength(field, length),
        ...(again ? [`${field}: this length stands in the list twice.`] : []),
        ...(given.has(pairOf(length))
          ? [`${field}: a length that gives the scale cannot test it, too.`]
          : []),
      ];
    }),
    ...(file.levels.fails >= file.levels.passes
      ? ["levels: fails must be smaller than passes."]
      : []),
  ];
};

/** Readings of one length that no hand could have made: a digit was mistyped. */
const farApart = 20;
const apart = (field: string, { readingsMm }: AcceptanceLength): string[] =>
  Math.max(...readingsMm) - Math.min(...readingsMm) > farApart
    ? [`${field}.readingsMm: the readings differ by more than ${farApart} mm; one is mistyped.`]
    : [];

const twice = (field: string, names: readonly string[]): string[] =>
  [...new Set(names.filter((name, i) => names.indexOf(name) < i))].map(
    (name) => `${field}: "${name}" is there twice.`,
  );
