import { doubtfulVerdict } from "../../job/result/outcome.ts";
import type { CheckResult, Result } from "../../job/result/result.ts";
import type { Block, CheckRow, PaperSize, StampStyle } from "../../record/paper/paper.ts";
import type { OpenPoint, Revision } from "../../record/revision.ts";
import type { TextKey } from "../i18n/translate.ts";
import { formatProbability } from "../i18n/units.ts";
import {
  checkDecimals,
  checkName,
  deviationWords,
  quantityOf,
  valueWords,
  verdictWord,
} from "../i18n/words.ts";
import { type CheckName, checkKey } from "../state/check-lists.ts";
import { baySketch } from "./bay-sketch.ts";
import { changeLines } from "./changes.ts";
import { detailSketch } from "./detail-sketch.ts";
import { numberLineSketch } from "./number-line-sketch.ts";
import { type PaperWords, whenIn } from "./paper-words.ts";

/** Widths on the first page, mm. */
const planWidth = 118;
const detailWidth = 58;
const leastDrawing = 28;
const mostDrawing = 75;
/** What the blocks of the first page take, mm, as measured on paper. */
const rowHeights = { head: 22, fact: 9, line: 4.2, check: 15, notice: 7, end: 26 };
const pageHeights = { a4: 265, letter: 247 } as const satisfies Record<PaperSize, number>;

const stampStyles = {
  "all meet": "meets",
  "some miss": "misses",
  "not proven": "not proven",
} as const satisfies Record<Result["outcome"], StampStyle>;

/** The outcome as a document says it: what was found, not what is still to be done. */
export const outcomeWord = (
  outcome: Result["outcome"] | null,
  { t }: Pick<PaperWords, "t">,
): string => t(`record.outcome.${outcome ?? "none"}`);

/** The first page: what was to be proved, the numbers, the verdict, who and when. */
export function summaryBlocks(revision: Revision, size: PaperSize, words: PaperWords): Block[] {
  const { content } = revision;
  const { result } = content;
  const { t } = words;
  const name = t("record.revision", { record: revision.record, number: revision.number });
  const upper: Block[] = [
    {
      kind: "head",
      title: t("paper.title"),
      subtitle: [content.title || content.car.description, name].filter(Boolean).join(" · "),
      stamp: {
        word: outcomeWord(result?.outcome ?? null, words),
        style: result ? stampStyles[result.outcome] : "not proven",
      },
    },
    ...(content.invented
      ? [{ kind: "text", words: t("jobs.inventedLong"), bold: true } as const]
      : []),
    { kind: "facts", columns: 3, items: titleBlock(revision, words) },
    ...doubts(result, words),
    ...openBlocks(revision, words),
    ...changeBlocks(revision, words),
    ...stepBlocks(revision, words),
    ...(result ? [{ kind: "checks", rows: checkRows(result, words) } as const] : []),
  ];
  const lower = stability(result, words);
  const heightOf = (blocks: readonly Block[]) =>
    blocks.reduce((sum, block) => sum + roughHeight(block), 0);
  return [
    ...upper,
    ...drawings(result, pageHeights[size] - heightOf(upper), heightOf(lower), words),
    ...lower,
    { kind: "text", words: t("paper.caution"), small: true, bold: true },
    { kind: "signatures", labels: [t("paper.date"), t("paper.signature")] },
  ];
}

/** About the height of a block, mm: the drawing takes what the first page has left. */
function roughHeight(block: Block): number {
  const lettersPerLine = 105;
  const lines = (text: string) => Math.ceil(text.length / lettersPerLine);
  switch (block.kind) {
    case "head":
      return rowHeights.head;
    case "facts":
      return Math.ceil(block.items.length / block.columns) * rowHeights.fact;
    case "notice":
      return (
        rowHeights.notice +
        block.lines.reduce((sum, line) => sum + lines(line) * rowHeights.line, rowHeights.line)
      );
    case "checks":
      return block.rows.length * rowHeights.check;
    default:
      return rowHeights.line + 2;
  }
}

function titleBlock(revision: Revision, words: PaperWords): [string, string][] {
  const { t, locale } = words;
  const { content, timeZone } = revision;
  const { car, work, job, result } = content;
  const sheet = (job.placement as { title?: unknown } | null)?.title;
  const when = (iso: string): string => whenIn(iso, timeZone, locale);
  const items: [string, string][] = [
    [t("block.car"), car.description],
    [t("car.plate"), car.plate],
    [t("car.vin"), car.vin],
    [t("car.odometer"), car.odometer],
    [t("car.customer"), car.customer],
    [t("block.reason"), car.reason ? t(`reason.${car.reason}` as TextKey) : ""],
    [t("sheet.title"), typeof sheet === "string" ? sheet : ""],
    [t("record.procedure"), work.procedure],
    [t("record.technician"), work.technician],
    [t("record.shop"), work.shop],
    [t("record.measured"), result ? when(result.measuredAt) : ""],
    [t("record.closed"), when(revision.closedAt)],
  ];
  return items.filter(([, value]) => value !== "");
}

function doubts(result: Result | null, { t, sayRemark }: PaperWords): Block[] {
  if (!result || result.heldBack.length === 0) return [];
  const lines = result.heldBack.map((remark) => sayRemark(remark).message);
  return [{ kind: "notice", title: t("outcome.doubts"), lines }];
}

export const openPointWords = (
  { code, values }: OpenPoint,
  words: Pick<PaperWords, "t">,
): string => {
  const outcome = values?.outcome as Result["outcome"] | undefined;
  const said = outcome ? { ...values, outcome: outcomeWord(outcome, words) } : values;
  return words.t(`open.${code}` as TextKey, said);
};

/** More open checks than this are counted on the first page; the second one lists them. */
const mostNamed = 5;

function openBlocks({ openPoints, content }: Revision, words: PaperWords): Block[] {
  if (openPoints.length === 0) return [];
  const open = content.checks.filter(({ state }) => state === "open");
  const names = (open.length > mostNamed ? [] : open)
    .map(({ name }) => words.t(checkKey(name as CheckName)))
    .join(" · ");
  const lines = openPoints.map((point) => {
    const said = openPointWords(point, words);
    return point.code === "open-checks" && names ? `${said} (${names})` : said;
  });
  return [{ kind: "notice", title: words.t("record.openTitle"), lines: [lines.join(" ")] }];
}

/** Changes that are listed on the first page; the others stand further back. */
const firstChanges = 4;

function changeBlocks(revision: Revision, words: PaperWords): Block[] {
  if (revision.number === 1) return [];
  const lines = changeLines(revision, words, firstChanges);
  const title = words.t("record.changesTitle", { number: revision.number });
  const reason = revision.changeReason ? [revision.changeReason] : [];
  return [{ kind: "notice", title, lines: [...reason, ...lines] }];
}

/** Steps of the sheet that were measured before the last one. */
function stepBlocks({ content, timeZone }: Revision, words: PaperWords): Block[] {
  return content.steps.flatMap(({ title, result }): Block[] => {
    const when = whenIn(result.measuredAt, timeZone, words.locale);
    return [
      { kind: "heading", level: 2, words: words.t("step.kept", { title, when }) },
      { kind: "checks", rows: checkRows(result, words) },
    ];
  });
}

export const nameOfCheck = (check: CheckResult, { t, say }: PaperWords): string =>
  checkName(check, t) ?? say(check.labelSaid, check.label);

const checkRows = (result: Result, words: PaperWords): CheckRow[] =>
  result.checks.map((check) => checkRow(check, words));

function checkRow(check: CheckResult, words: PaperWords): CheckRow {
  const { t, showMeasured, showUncertainty, showBoth, locale } = words;
  const decimals = checkDecimals(check);
  const value = valueWords(check, check.measured, decimals, t, showMeasured);
  const sure = showUncertainty(check.expandedUncertainty, quantityOf(check), decimals);
  const probability = formatProbability(check.probability, locale);
  const says = doubtfulVerdict(check);
  const byNumber = says ? t("verdict.byNumber", { verdict: verdictWord(says, t) }) : "";
  return {
    name: nameOfCheck(check, words),
    value: `${value} ± ${sure} · ${deviationWords(check, t, showBoth)}`,
    small: [byNumber, t("paper.probability", { probability }), check.reference]
      .filter(Boolean)
      .join(" · "),
    line: numberLineSketch(check, words),
    stamp: { word: verdictWord(check.verdict, t), style: check.verdict },
  };
}

function drawings(
  result: Result | null,
  roomMm: number,
  lowerMm: number,
  words: PaperWords,
): Block[] {
  if (!result) return [];
  const height = Math.min(mostDrawing, Math.max(leastDrawing, roomMm - rowHeights.end));
  const plan = baySketch(result, "plan", planWidth, height - 6, words);
  const detail = detailSketch(result, detailWidth, plan.heightMm, words);
  return [
    {
      kind: "drawings",
      // Caution and signatures belong to the page that carries the verdict.
      keepMm: lowerMm + rowHeights.end,
      sketches: [
        { caption: words.t("record.planCaption"), sketch: plan },
        ...(detail ? [{ caption: "", sketch: detail }] : []),
      ],
    },
  ];
}

function stability(result: Result | null, { t, say }: PaperWords): Block[] {
  if (!result?.stability) return [];
  const { said, sentence } = result.stability;
  return [{ kind: "text", words: `${t("stability.title")} ${say(said, sentence)}` }];
}
