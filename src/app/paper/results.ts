import type { Move, Result } from "../../job/result/result.ts";
import type { Block } from "../../record/paper/paper.ts";
import type { Revision, Standing } from "../../record/revision.ts";
import { formatNumber } from "../i18n/units.ts";
import {
  moveWord,
  quantityOf,
  sourceWord,
  vehicleWords,
  verdictWord,
  wayOf,
  wayWord,
} from "../i18n/words.ts";
import { type PaperWords, whenIn } from "./paper-words.ts";
import { remarksOf } from "./remarks.ts";
import { nameOfCheck } from "./summary.ts";

/** What the engine found beside the verdict itself. */
export function resultBlocks(revision: Revision, words: PaperWords): Block[] {
  const { result } = revision.content;
  if (!result) return [];
  return [
    ...vehicleBlocks(result, words),
    ...standingBlocks(revision, result, words),
    ...budgetBlocks(result, words),
    ...crossBlocks(result, words),
    ...stabilityBlocks(result, words),
    ...networkBlocks(result, words),
    ...remarksOf(result, words),
  ];
}

function vehicleBlocks({ vehicle }: Result, words: PaperWords): Block[] {
  const { t, showMeasured, showUncertainty } = words;
  if (vehicle.length === 0) return [];
  const rows = vehicle.map((line) => {
    const { name, value, uncertainty } = vehicleWords(line, t, showMeasured, showUncertainty);
    return [name, value, uncertainty];
  });
  return [
    { kind: "heading", level: 2, words: t("vehicle.title") },
    {
      kind: "table",
      head: [t("record.column.what"), t("record.column.measured"), t("record.column.uncertainty")],
      rows,
      widths: [3, 2, 1],
      right: [2],
    },
  ];
}

/** Measured values in short. */
function shortChecks(
  checks: Standing["checks"],
  { t, say, showMeasured, showUncertainty }: PaperWords,
): string {
  return checks
    .map(({ label, labelSaid, unit, measured, expandedUncertainty, verdict }) => {
      const quantity = quantityOf({ unit });
      const decimals = unit === "mm" ? 1 : 2;
      const value = showMeasured(measured, quantity, decimals);
      const sure = showUncertainty(expandedUncertainty, quantity, decimals);
      return `${say(labelSaid, label)} ${value} ± ${sure}, ${verdictWord(verdict, t)}`;
    })
    .join("; ");
}

/** "Slide 23.4 mm right": an advised move. */
function moveInWords(move: Move, { t, showMeasured }: PaperWords): string {
  const amount = showMeasured(move.amount, quantityOf(move), move.unit === "mm" ? 1 : 2);
  return `${moveWord(move.kind, t)} ${amount} ${wayWord(wayOf(move), t)}`;
}

/** Where the stand was before it was moved, and where it is now. */
function standingBlocks(revision: Revision, result: Result, words: PaperWords): Block[] {
  const { t, locale } = words;
  const { standings } = revision.content;
  if (standings.length === 0) return [];
  const lines = standings.map((standing) =>
    t("record.movesLine", {
      setup: standing.setup,
      when: whenIn(standing.measuredAt, revision.timeZone, locale),
      checks: shortChecks(standing.checks, words),
      moves: standing.moves.map((move) => moveInWords(move, words)).join("; ") || "–",
    }),
  );
  const now = t("record.movesNow", { checks: shortChecks(result.checks, words) });
  return [
    { kind: "heading", level: 2, words: t("record.moves") },
    { kind: "list", items: [...lines, now] },
  ];
}

function budgetBlocks(result: Result, words: PaperWords): Block[] {
  const { t, locale } = words;
  const percent = (share: number): string => `${formatNumber(100 * share, 0, locale)} %`;
  const ofPhones = (lenses: Result["checks"][number]["lenses"]): string =>
    lenses ? ` (${lenses.map(({ phone, share }) => `${phone} ${percent(share)}`).join(", ")})` : "";
  const rows = result.checks.map((check) => [
    nameOfCheck(check, words),
    check.budget
      .map(
        ({ source, share }) =>
          `${sourceWord(source, t)} ${percent(share)}${source === "lens" ? ofPhones(check.lenses) : ""}`,
      )
      .join(", "),
  ]);
  return [
    { kind: "heading", level: 2, words: t("record.budget") },
    {
      kind: "table",
      head: [t("record.column.check"), t("record.column.share")],
      rows,
      widths: [2, 4],
    },
  ];
}

function crossBlocks({ crossChecks = [] }: Result, { t, say }: PaperWords): Block[] {
  if (crossChecks.length === 0) return [];
  return [
    { kind: "heading", level: 2, words: t("cross.title") },
    { kind: "list", items: crossChecks.map(({ said, sentence }) => say(said, sentence)) },
  ];
}

function stabilityBlocks({ stability }: Result, words: PaperWords): Block[] {
  if (!stability) return [];
  const { t, showMeasured, showUncertainty } = words;
  return [
    { kind: "heading", level: 2, words: t("record.stabilityBoards") },
    {
      kind: "table",
      head: [
        t("record.column.board"),
        t("record.column.shift"),
        t("record.column.uncertainty"),
        t("record.column.moved"),
      ],
      rows: stability.boards.map(({ key, shiftMm, expandedMm, moved }) => [
        key,
        showMeasured(shiftMm, "length", 1),
        showUncertainty(expandedMm, "length", 1),
        moved ? t("stability.moved") : "–",
      ]),
      widths: [1, 1, 1, 1],
      right: [1, 2],
    },
  ];
}

function networkBlocks({ network }: Result, { t, locale }: PaperWords): Block[] {
  const { photos, boards, observations, unknowns, iterations } = network;
  return [
    { kind: "heading", level: 2, words: t("record.network") },
    {
      kind: "text",
      words: t("record.networkLine", {
        photos,
        boards,
        observations,
        unknowns,
        iterations,
        redundancy: formatNumber(network.redundancy, 0, locale),
        variance: formatNumber(network.varianceFactor, 2, locale),
        residual: formatNumber(network.residualPx, 3, locale),
      }),
    },
  ];
}
