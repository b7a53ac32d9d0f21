import type { Block, PaperDocument, PaperSize, StampStyle } from "../../record/paper/paper.ts";
import type { AcceptanceRemark } from "../result/codes.ts";
import type { AcceptanceResult } from "../result/result.ts";
import type { CertificateWords } from "./words.ts";

/** The reader's language and units. */
export interface CertificateSpeech {
  readonly language: string;
  readonly words: CertificateWords;
  /** A length with its unit. */
  length(mm: number, decimals: number): string;
  angle(deg: number, decimals: number): string;
  /** A share of 1, for instance in percent. */
  share(value: number): string;
  date(iso: string): string;
  /** A remark as one or two sentences. */
  remark(remark: AcceptanceRemark): string;
}

const fill = (text: string, values: Readonly<Record<string, string | number>>): string =>
  text.replace(/\{(\w+)\}/g, (whole, name) => String(values[name] ?? whole));

const stamps: Readonly<Record<AcceptanceResult["outcome"], StampStyle>> = {
  pass: "meets",
  fail: "misses",
  "not shown": "not proven",
};

const dayMs = 86_400_000;

/** Last day that the test stands for by the shop's own rule, ISO 8601. */
export const validUntil = (testedAt: string, everyDays: number): string =>
  new Date(Date.parse(testedAt) + everyDays * dayMs).toISOString().slice(0, 10);

/** One page: what was tested, with what, how it ended, what limits it. */
export const certificateOf = (
  result: AcceptanceResult,
  everyDays: number,
  size: PaperSize,
  speech: CertificateSpeech,
): PaperDocument => {
  const { words } = speech;
  return {
    size,
    language: speech.language,
    title: `${words.title}: ${result.title}`,
    subject: words.title,
    author: result.shop || "Plumbshot",
    date: result.testedAt,
    foot: { left: result.program, right: words.page },
    blocks: [
      {
        kind: "head",
        title: words.title,
        subtitle: result.invented ? `${result.title} (${words.invented})` : result.title,
        stamp: { word: words[result.outcome], style: stamps[result.outcome] },
      },
      { kind: "text", words: summaryOf(result, speech), bold: true },
      factsOf(result, everyDays, speech),
      { kind: "heading", level: 1, words: words.lengths },
      lengthsOf(result, speech),
      { kind: "text", words: words.lengthsNote, small: true },
      { kind: "heading", level: 1, words: words.scatter },
      scatterOf(result, speech),
      ...defaultsOf(result, speech),
      { kind: "heading", level: 1, words: words.limits },
      { kind: "list", items: limitsOf(result, speech), small: true },
      {
        kind: "notice",
        title: words.cautions,
        lines: [words.caution1, words.caution2, words.caution3],
      },
      { kind: "signatures", labels: [words.signedBy, words.signedDate] },
    ],
  };
};

const limitWords = ({ limits }: AcceptanceResult, { words, length }: CertificateSpeech): string =>
  fill(limits.mostMm === undefined ? words.limit : words.limitMost, {
    fixed: length(limits.fixedMm, 2),
    perMetre: length(limits.perMetreMm, 2),
    most: length(limits.mostMm ?? 0, 2),
  });

const summaryOf = (result: AcceptanceResult, speech: CertificateSpeech): string => {
  const references = result.lengths.map(({ referenceMm }) => referenceMm);
  return fill(speech.words.summary, {
    error: speech.length(result.note.largestErrorMm ?? 0, 2),
    shortest: speech.length(Math.min(...references), 0),
    longest: speech.length(Math.max(...references), 0),
    limit: limitWords(result, speech),
  });
};

const factsOf = (result: AcceptanceResult, everyDays: number, speech: CertificateSpeech): Block => {
  const { words, length, date } = speech;
  const { prints, phones, plates } = result.note;
  const phone = phones.map(({ make, model, system }) => [make, model, ...system].join(" "));
  const rounds = result.rounds.map(({ name, phone: of, person }) => `${name}: ${of}, ${person}`);
  const checked = prints.horizontalMm !== null && prints.verticalMm !== null;
  const print = fill(checked ? words.printsChecked : words.printsUnchecked, {
    cell: length(prints.cellMm, 1),
    horizontal: length(prints.horizontalMm ?? 0, 1),
    vertical: length(prints.verticalMm ?? 0, 1),
  });
  const until = fill(words.validWords, { date: date(validUntil(result.testedAt, everyDays)) });
  return {
    kind: "facts",
    columns: 2,
    items: [
      [words.date, date(result.testedAt)],
      [words.shop, result.shop || "–"],
      [words.phones, phone.join("; ")],
      [words.persons, rounds.join("; ")],
      [words.prints, print],
      [words.plates, plates || "–"],
      [words.volume, result.layout.volumeMm.map((mm) => length(mm, 0)).join(" × ")],
      ...(result.outcome === "pass" ? ([[words.valid, until]] as const) : []),
    ],
  };
};

const lengthsOf = (result: AcceptanceResult, { words, length }: CertificateSpeech): Block => ({
  kind: "table",
  head: [words.from, words.reference, words.instrument, words.error, words.allowed, words.verdict],
  widths: [0.14, 0.26, 0.2, 0.16, 0.1, 0.14],
  right: [1, 3, 4],
  rows: result.lengths.map(
    ({ from, to, referenceMm, referenceExpandedMm, instrument, limitMm, errors }) => {
      const worst = errors.reduce<(typeof errors)[number] | null>(
        (most, e) => (most && Math.abs(most.errorMm) >= Math.abs(e.errorMm) ? most : e),
        null,
      );
      return [
        `${from} – ${to}`,
        `${length(referenceMm, 1)} ± ${length(referenceExpandedMm, 2)}`,
        instrument,
        worst ? length(worst.errorMm, 2) : "–",
        length(limitMm, 2),
        words[worstVerdict(errors.map(({ verdict }) => verdict))],
      ];
    },
  ),
});

const worstVerdict = (
  verdicts: readonly AcceptanceResult["outcome"][],
): AcceptanceResult["outcome"] =>
  verdicts.includes("fail")
    ? "fail"
    : verdicts.length > 0 && verdicts.every((verdict) => verdict === "pass")
      ? "pass"
      : "not shown";

const scatterOf = (
  { repeatability, reproducibility }: AcceptanceResult,
  { words, length, angle }: CertificateSpeech,
): Block => {
  const spread = ({ sd, lower, upper }: { sd: number; lower: number; upper: number }) => ({
    sd: length(sd, 2),
    lower: length(lower, 2),
    upper: length(upper, 2),
  });
  return {
    kind: "facts",
    columns: 1,
    items: [
      [
        words.repeatability,
        repeatability
          ? fill(words.repeatabilityOf, {
              ...spread(repeatability),
              stated: length(repeatability.statedMm, 2),
            })
          : words.notTested,
      ],
      [
        words.pose,
        repeatability
          ? fill(words.poseOf, {
              position: length(repeatability.pose.positionMm, 2),
              turn: angle(repeatability.pose.turnDeg, 3),
              largestPosition: length(repeatability.pose.largestPositionMm, 2),
              largestTurn: angle(repeatability.pose.largestTurnDeg, 3),
            })
          : words.notTested,
      ],
      [
        words.reproducibility,
        reproducibility
          ? fill(words.reproducibilityOf, {
              ...spread(reproducibility),
              groups: reproducibility.groups,
            })
          : words.notTested,
      ],
    ],
  };
};

const defaultsOf = (
  { defaults }: AcceptanceResult,
  { words, length, share }: CertificateSpeech,
): Block[] =>
  defaults.length === 0
    ? []
    : [
        { kind: "heading", level: 2, words: words.defaults },
        {
          kind: "list",
          small: true,
          items: defaults.map(({ name, instrument, sd, lower, upper, usual, enough }) => {
            const show = (value: number): string =>
              name === "ownScaleSd" ? share(value) : length(value, 2);
            return fill(enough ? words.defaultOf : words.defaultFew, {
              name: fill(words[name], { instrument: instrument ?? "" }),
              sd: show(sd),
              lower: show(lower),
              upper: show(upper),
              usual: show(usual),
            });
          }),
        },
      ];

const mostLimits = 6;

/** The references' own uncertainty, then what the test lacks, then what is said of its photos. */
const limitsOf = (
  { heldBack, remarks, lengths }: AcceptanceResult,
  { words, length, remark }: CertificateSpeech,
): string[] => {
  const others = remarks.filter(
    ({ code, severity }) =>
      (severity !== "info" || code.startsWith("accept-")) &&
      !heldBack.some((held) => held.code === code),
  );
  const largest = Math.max(...lengths.map(({ referenceExpandedMm }) => referenceExpandedMm));
  return [
    fill(words.limitReference, { u: length(largest, 2) }),
    ...[...heldBack, ...others]
      .slice(0, mostLimits)
      .map((item) => remark(item as AcceptanceRemark)),
  ];
};
