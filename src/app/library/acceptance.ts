import { type ParsedAcceptance, parseAcceptance } from "../../acceptance/file/parse-acceptance.ts";
import type { AcceptanceDraft, StoredAcceptance } from "../store/acceptance.ts";
import { newId } from "../store/database/database.ts";
import type { JobRecord } from "../store/database/schema.ts";

/** A test that nobody has begun: the least that makes one, with a tape and two rounds. */
export const emptyDraft = (): AcceptanceDraft => ({
  version: 1,
  plates: "",
  barHorizontalMm: null,
  barVerticalMm: null,
  temperatureC: null,
  fixedMm: 1,
  perMetreMm: 0.5,
  everyDays: 365,
  instruments: [
    {
      id: "1",
      kind: "steel tape",
      name: "tape",
      class: "II",
      fromHook: true,
      withinMm: 2,
      expandedMm: null,
    },
    {
      id: "2",
      kind: "laser meter",
      name: "laser",
      class: "II",
      fromHook: true,
      withinMm: 2,
      expandedMm: null,
    },
  ],
  lengths: suggestedLengths.map(([from, to], index) => ({
    id: newId(),
    use: index === 0 ? "scale" : "test",
    from,
    to,
    instrument: index === 0 ? "2" : "1",
    readingsMm: [null, null, null],
  })),
  rounds: [emptyRound(), emptyRound()],
});

export const emptyRound = (): AcceptanceDraft["rounds"][number] => ({
  id: newId(),
  profileId: null,
  person: "",
  photos: [],
});

/** As drawn on the screen: corners of a square on the floor, two boards up on stands. */
export const suggestedLengths = [
  [51, 52],
  [11, 12],
  [11, 13],
  [12, 14],
  [13, 14],
  [11, 31],
  [32, 13],
  [32, 11],
] as const;

/** What is still missing before a test can be worked out; null where nothing is. */
export type AcceptanceLack = "lengths" | "rounds" | "photos" | "numbers";
export const fewestRoundPhotos = 6;

export function acceptanceLacks(draft: AcceptanceDraft): AcceptanceLack | null {
  if (completeLengths(draft, "test").length === 0) {
    return "lengths";
  }
  if (draft.fixedMm === null || draft.perMetreMm === null || draft.everyDays === null) {
    return "numbers";
  }
  if (draft.rounds.length === 0) {
    return "rounds";
  }
  return draft.rounds.some(({ photos }) => photos.length < fewestRoundPhotos) ? "photos" : null;
}

const readingsOf = ({ readingsMm }: AcceptanceDraft["lengths"][number]): number[] =>
  readingsMm.flatMap((mm) => mm ?? []);

const completeLengths = (draft: AcceptanceDraft, use: "test" | "scale") =>
  draft.lengths.filter(
    (length) =>
      length.use === use &&
      length.from !== null &&
      length.to !== null &&
      readingsOf(length).length > 0,
  );

/** Names by which instruments are told apart, whatever was typed. */
const instrumentNames = ({ instruments }: AcceptanceDraft): ReadonlyMap<string, string> => {
  const names = new Map<string, string>();
  for (const { id, name, kind } of instruments) {
    const wanted = name.trim() || kind;
    const taken = [...names.values()].includes(wanted);
    names.set(id, taken ? `${wanted} ${names.size + 1}` : wanted);
  }
  return names;
};

interface Words {
  readonly title: string;
  readonly shop: string;
  round(number: number): string;
}

/** The draft as acceptance.json says it, parsed by the same schema as on the command line. */
export function acceptanceFile(
  draft: AcceptanceDraft,
  words: Words,
  phones: ReadonlyMap<string, string>,
): ParsedAcceptance {
  const names = instrumentNames(draft);
  const lengths = (use: "test" | "scale") =>
    completeLengths(draft, use).map((length) => ({
      from: length.from,
      to: length.to,
      instrument: names.get(length.instrument) ?? length.instrument,
      readingsMm: readingsOf(length),
    }));
  const { barHorizontalMm, barVerticalMm } = draft;
  const bar = (readingMm: number) => ({ nominalMm: 200, readingMm });
  const checked = barHorizontalMm !== null && barVerticalMm !== null;
  return parseAcceptance({
    format: "plumbshot-acceptance",
    version: 1,
    title: words.title,
    shop: words.shop,
    plates: draft.plates,
    boards: checked
      ? { printCheck: { horizontal: bar(barHorizontalMm), vertical: bar(barVerticalMm) } }
      : {},
    limits: { fixedMm: draft.fixedMm ?? undefined, perMetreMm: draft.perMetreMm ?? undefined },
    ...(draft.temperatureC === null ? {} : { bayTemperatureC: draft.temperatureC }),
    instruments: draft.instruments.map((item) => instrumentInput(item, names.get(item.id))),
    scale: lengths("scale"),
    lengths: lengths("test"),
    rounds: draft.rounds.map(({ id, profileId, person }, index) => ({
      name: words.round(index + 1),
      photos: id,
      phone: (profileId && phones.get(profileId)) ?? "phone",
      ...(person.trim() ? { person: person.trim() } : {}),
    })),
    everyDays: draft.everyDays ?? undefined,
  });
}

const instrumentInput = (
  instrument: AcceptanceDraft["instruments"][number],
  name: string | undefined,
): unknown => {
  const { kind, fromHook, withinMm, expandedMm } = instrument;
  switch (kind) {
    case "steel tape":
      return { kind, name, class: instrument.class, fromHook };
    case "laser meter":
      return { kind, name, withinMm: withinMm ?? undefined };
    case "calibrated length":
      return { kind, name, expandedMm };
  }
};

/** A job of this shop carries its rule and its last test; a shop that never began one has no rule. */
export const withAcceptance = (record: JobRecord, stored: StoredAcceptance | null): JobRecord =>
  stored === null
    ? record
    : {
        ...record,
        boards: {
          ...record.boards,
          statements: {
            ...record.boards.statements,
            acceptance: {
              everyDays: stored.draft.everyDays ?? 365,
              last: stored.result?.note ?? null,
            },
          },
        },
      };
