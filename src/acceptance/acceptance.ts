import type { PhotoOutcome } from "../detect/findings/findings.ts";
import type { AcceptanceNote } from "../job/file/acceptance-note.ts";
import { withoutDuplicates } from "../job/problem/duplicate-photos.ts";
import { consequences } from "../job/result/consequences.ts";
import type { RemarkCode } from "../job/result/remark-codes.ts";
import { programVersion } from "../job/result/version.ts";
import type { CameraKnowledge } from "../job/run/run.ts";
import type { AcceptanceFile } from "./file/acceptance-file.ts";
import { type TestedLength, testLengths } from "./judge/errors.ts";
import { checkInstruments, instrumentRemarks } from "./judge/instruments.ts";
import { laidOut, layoutRemarks } from "./judge/layout.ts";
import { type OwnDefault, ownDefaults } from "./judge/own-defaults.ts";
import { scatterOf } from "./judge/scatter.ts";
import { type MeasuredRound, measureRound } from "./measure/measure-round.ts";
import {
  type AcceptanceCode,
  type AcceptanceConsequence,
  type AcceptanceRemark,
  acceptanceConsequences,
} from "./result/codes.ts";
import type { AcceptanceResult } from "./result/result.ts";

export interface AcceptanceInput {
  readonly file: AcceptanceFile;
  /** Photos of each round in the file's order. */
  readonly rounds: readonly {
    readonly camera: CameraKnowledge | null;
    readonly outcomes: readonly PhotoOutcome[];
  }[];
  /** ISO 8601. */
  readonly testedAt: string;
}

export type AcceptanceAnswer =
  | { readonly ok: true; readonly result: AcceptanceResult }
  | { readonly ok: false; readonly remarks: readonly AcceptanceRemark[] };

type RoundFile = AcceptanceFile["rounds"][number];
interface Done {
  readonly about: RoundFile;
  readonly measured: MeasuredRound;
}

/**
 * An acceptance test: every round measured by itself, its lengths laid beside those that somebody
 * measured well, rounds beside each other, instruments beside the photos. Refused only where no round
 * can be measured; all other doubt is in the outcome.
 */
export const accept = (input: AcceptanceInput): AcceptanceAnswer => {
  const { file } = input;
  const single = singlePhotos(input);
  const tried = file.rounds.map((about, i) => ({
    about,
    outcome: measureRound(file, { name: about.name, ...single.rounds[i] }),
  }));
  const done = tried.flatMap(({ about, outcome }): Done[] =>
    outcome.ok ? [{ about, measured: outcome.round }] : [],
  );
  const failed = tried.flatMap(({ about, outcome }) => (outcome.ok ? [] : [{ about, outcome }]));
  const why = failed.flatMap(({ about, outcome }) => [roundFailed(about), ...outcome.remarks]);
  if (done.length === 0) return { ok: false, remarks: why };
  return { ok: true, result: concluded(input, done, [...why, ...single.remarks]) };
};

/** The same photo in two rounds would look like perfect repeatability. */
const singlePhotos = ({ file, rounds }: AcceptanceInput) => {
  const roundOf = new Map<string, number>();
  rounds.forEach(({ outcomes }, i) => {
    for (const outcome of outcomes) roundOf.set(nameOf(outcome), i);
  });
  const all = rounds.flatMap(({ outcomes }) => outcomes);
  const { kept, remarks } = withoutDuplicates(all, (photo) => ({
    position: roundOf.get(photo) ?? 0,
    setup: 0,
    after: false,
  }));
  const left = new Set(kept);
  return {
    rounds: file.rounds.map((_, i) => ({
      camera: rounds[i]?.camera ?? null,
      outcomes: (rounds[i]?.outcomes ?? []).filter((outcome) => left.has(outcome)),
    })),
    remarks,
  };
};

const nameOf = (outcome: PhotoOutcome): string =>
  outcome.ok ? outcome.findings.name : outcome.name;

const concluded = (
  { file, rounds, testedAt }: AcceptanceInput,
  done: readonly Done[],
  before: readonly AcceptanceRemark[],
): AcceptanceResult => {
  const measured = done.map((round) => round.measured);
  const layout = laidOut(file, measured[0].poses);
  const lengths = testLengths(file, measured);
  const instruments = checkInstruments(file, measured);
  const scatter = scatterOf(groupsOf(done), boardsIn(file));
  const defaults = ownDefaults(file, measured, instruments);
  const remarks = unique([
    ...before,
    ...unseen(lengths, done),
    ...fewRounds(done),
    ...layoutRemarks(file, layout),
    ...instrumentRemarks(file, instruments),
    ...scatter.remarks,
    ...measured.flatMap((round) => round.remarks),
  ]);
  const held = remarks.filter((remark) => consequenceOf(remark) !== "says");
  const spoilt = held.some((remark) => consequenceOf(remark) === "spoils");
  const outcome = outcomeOf(lengths, spoilt, held.length > 0);
  const about = done.map((round) => aboutRound(round, lengths, softwareOf(file, rounds, round)));
  return {
    format: "plumbshot-acceptance-result",
    version: 1,
    title: file.title,
    invented: file.invented,
    shop: file.shop,
    testedAt,
    program: `Plumbshot ${programVersion}`,
    outcome,
    limits: file.limits,
    rounds: about,
    lengths: lengths.map(({ reference, ...rest }) => ({
      ...rest,
      errors: [...rest.errors],
      referenceMm: reference.lengthMm,
      referenceExpandedMm: 2 * reference.uncertaintyMm,
    })),
    layout: { ...layout, volumeMm: [...layout.volumeMm] },
    repeatability: scatter.repeatability,
    reproducibility: scatter.reproducibility,
    instruments: instruments.map(
      ({ restVariance: _rest, restFreedom: _freedom, photoVariance: _photo, ...check }) => check,
    ),
    defaults,
    heldBack: held as AcceptanceResult["heldBack"],
    remarks: remarks as AcceptanceResult["remarks"],
    note: noteOf(file, { testedAt, outcome, about, defaults }),
  };
};

const unique = (remarks: readonly AcceptanceRemark[]): AcceptanceRemark[] => [
  ...new Map(remarks.map((remark) => [`${remark.code}|${remark.message}`, remark])).values(),
];

const isOwn = (code: string): code is AcceptanceCode => code in acceptanceConsequences;

/** A doubt about the job's numbers is a doubt about the test; what widens a job's interval is not. */
const consequenceOf = ({ code }: AcceptanceRemark): AcceptanceConsequence => {
  if (isOwn(code)) return acceptanceConsequences[code];
  // A job keeps both places of such a board apart; here a length hangs on one of them.
  if (code === "board-moved") return "spoils";
  return consequences[code as RemarkCode].consequence === "holds back" ? "spoils" : "says";
};

/** Every length in every round must pass; one that fails decides, unless the test itself is in doubt. */
export const outcomeOf = (
  lengths: readonly TestedLength[],
  spoilt: boolean,
  held: boolean,
): AcceptanceResult["outcome"] => {
  const verdicts = lengths.flatMap(({ errors }) => errors.map(({ verdict }) => verdict));
  if (!spoilt && verdicts.includes("fail")) return "fail";
  return !held && verdicts.length > 0 && verdicts.every((verdict) => verdict === "pass")
    ? "pass"
    : "not shown";
};

/** Rounds of one phone and one person are repetitions of each other. */
const groupsOf = (done: readonly Done[]): MeasuredRound[][] => {
  const groups = new Map<string, MeasuredRound[]>();
  for (const { about, measured } of done) {
    const key = JSON.stringify([about.phone, about.person]);
    groups.set(key, [...(groups.get(key) ?? []), measured]);
  }
  return [...groups.values()];
};

const boardsIn = ({ lengths }: AcceptanceFile): number =>
  new Set(lengths.flatMap(({ from, to }) => [from, to])).size;

const softwareOf = (
  file: AcceptanceFile,
  rounds: AcceptanceInput["rounds"],
  { about }: Done,
): string[] => {
  const outcomes = rounds[file.rounds.indexOf(about)]?.outcomes ?? [];
  const named = outcomes.flatMap((outcome) =>
    outcome.ok && outcome.findings.exif?.software ? [outcome.findings.exif.software] : [],
  );
  return [...new Set(named)].sort().slice(0, 20);
};

const aboutRound = (
  { about, measured }: Done,
  lengths: readonly TestedLength[],
  system: string[],
): AcceptanceResult["rounds"][number] => {
  const { identity } = measured.camera.profile;
  const errors = lengths.flatMap((length) =>
    length.errors.flatMap((e) => (e.round === about.name ? [Math.abs(e.errorMm)] : [])),
  );
  return {
    name: about.name,
    phone: about.phone,
    person: about.person,
    make: identity.make ?? "unnamed",
    model: identity.model ?? "phone",
    system,
    photos: measured.photos,
    varianceFactor: measured.varianceFactor,
    largestErrorMm: errors.length > 0 ? Math.max(...errors) : null,
  };
};

const noteOf = (
  file: AcceptanceFile,
  {
    testedAt,
    outcome,
    about,
    defaults,
  }: {
    readonly testedAt: string;
    readonly outcome: AcceptanceResult["outcome"];
    readonly about: AcceptanceResult["rounds"];
    readonly defaults: readonly OwnDefault[];
  },
): AcceptanceNote => {
  const errors = about.flatMap(({ largestErrorMm }) => largestErrorMm ?? []);
  const { printCheck, cellMm } = file.boards;
  const own = (name: OwnDefault["name"]) => defaults.filter((d) => d.name === name && d.enough);
  const phones = about.map(({ make, model, system }) => ({ make, model, system }));
  return {
    testedAt,
    outcome,
    largestErrorMm: errors.length > 0 ? Math.max(...errors) : null,
    limits: file.limits,
    phones: [...new Map(phones.map((phone) => [JSON.stringify(phone), phone])).values()],
    prints: {
      cellMm,
      horizontalMm: printCheck?.horizontal.readingMm ?? null,
      verticalMm: printCheck?.vertical.readingMm ?? null,
    },
    plates: file.plates,
    defaults: {
      flatnessMm: own("flatnessMm")[0]?.sd,
      ownScaleSd: own("ownScaleSd")[0]?.sd,
      readings: own("reading").map(({ instrument = "", sd }) => ({ instrument, sdMm: sd })),
    },
  };
};

const roundFailed = ({ name }: RoundFile): AcceptanceRemark => ({
  code: "accept-round-failed",
  values: { round: name },
  severity: "error",
  message: `The round "${name}" could not be measured.`,
  remedy: "See what is said of its photos, and take them again.",
  about: name,
});

const unseen = (lengths: readonly TestedLength[], done: readonly Done[]): AcceptanceRemark[] =>
  lengths.flatMap(({ from, to, errors }) =>
    done
      .filter(({ about }) => errors.every(({ round }) => round !== about.name))
      .map(
        ({ about }): AcceptanceRemark => ({
          code: "accept-length-unseen",
          values: { from, to, round: about.name },
          severity: "warning",
          message: `Length from board ${from} to board ${to}: the photos of "${about.name}" do not show both.`,
          remedy: "Take another photo of this round that shows the board together with others.",
          about: about.name,
        }),
      ),
  );

const fewRounds = (done: readonly Done[]): AcceptanceRemark[] => {
  if (done.length < 2)
    return [
      {
        code: "accept-one-round",
        severity: "warning",
        message: "There is one round only: nothing shows how well the phone repeats itself.",
        remedy: "Take all photos once more, from the first to the last.",
      },
    ];
  return groupsOf(done).length > 1
    ? []
    : [
        {
          code: "accept-one-person",
          severity: "info",
          message: "One phone and one person only: what others would get is not tested.",
          remedy: "Let another person take a round, and take one with every phone that is used.",
        },
      ];
};
