import { z } from "zod";
import { lengthSchema } from "../../job/file/job-file.ts";
import type { CheckResult, Result } from "../../job/result/result.ts";
import type { Block } from "../../record/paper/paper.ts";
import type { RecordContent, Revision } from "../../record/revision.ts";
import { fieldWords, wordFor } from "../i18n/speech.ts";
import { formatNumber } from "../i18n/units.ts";
import { quantityOf } from "../i18n/words.ts";
import { type CheckName, checkKey } from "../state/check-lists.ts";
import { baySketch } from "./bay-sketch.ts";
import type { PaperWords } from "./paper-words.ts";

/** What the numbers rest on: sheet, prints, lengths, plates, lens, check lists, attached files. */
export function inputBlocks({ content }: Revision, words: PaperWords): Block[] {
  const { t } = words;
  return [
    { kind: "page break" },
    { kind: "heading", level: 1, words: t("record.inputs") },
    ...sheetBlocks(content, words),
    ...enteredBlocks(content, words),
    ...lensBlocks(content, words),
    ...listBlocks(content, words),
    ...writtenBlocks(content, words),
    ...attachedBlocks(content, words),
    ...sideView(content.result, words),
  ];
}

function limits({ lower, upper, unit }: CheckResult, { t, showStated }: PaperWords): string {
  const say = (value: number) => showStated(value, quantityOf({ unit }));
  if (lower !== null && upper !== null)
    return t("record.fromTo", { low: say(lower), high: say(upper) });
  if (lower !== null) return t("record.fromOnly", { low: say(lower) });
  return upper !== null ? t("record.toOnly", { high: say(upper) }) : "–";
}

function sheetBlocks({ job, result }: RecordContent, words: PaperWords): Block[] {
  const { t, say, showStated } = words;
  const sheet = (job.placement ?? {}) as Record<string, unknown>;
  const facts = ["title", "vehicle", "source", "origin", "axis", "heightReference"].flatMap(
    (name): [string, string][] => {
      const value = sheet[name];
      const text =
        typeof value === "string" ? value : (value as { kind?: string } | undefined)?.kind;
      return text ? [[fieldWords(name, t), wordFor(text, t)]] : [];
    },
  );
  // The engine's own label keeps the sign of the stated numbers.
  const rows = (result?.checks ?? []).map((check) => [
    say(check.labelSaid, check.label),
    showStated(check.required, quantityOf(check)),
    limits(check, words),
    check.reference || "–",
  ]);
  return [
    { kind: "heading", level: 2, words: t("record.sheet") },
    { kind: "facts", columns: 3, items: facts },
    {
      kind: "table",
      head: [
        t("record.column.check"),
        t("record.column.required"),
        t("record.column.limits"),
        t("record.column.source"),
      ],
      rows,
      widths: [40, 16, 24, 34],
      right: [1],
    },
  ];
}

/** Members of the job's file that are shown elsewhere or say nothing by themselves. */
const elsewhere = new Set([
  "format",
  "version",
  "title",
  "invented",
  "placement",
  "step",
  "note",
  "lengths",
  "positions",
  "standMoves",
  "after",
  "readings",
]);

/** Statements as they were entered, each with its place in words. */
function enteredBlocks({ job }: RecordContent, words: PaperWords): Block[] {
  const { t } = words;
  const rows = [
    ...lengthRows(job.lengths, words),
    ...Object.entries(job)
      .filter(([name]) => !elsewhere.has(name))
      .flatMap(([name, value]) => statements(value, name, words)),
  ];
  const unchecked = !(job.boards as { printCheck?: unknown } | undefined)?.printCheck;
  return [
    { kind: "heading", level: 2, words: t("record.prints") },
    ...(unchecked ? [{ kind: "text", words: t("record.printUnchecked") } as const] : []),
    ...(rows.length > 0
      ? [
          {
            kind: "table",
            head: [t("record.column.what"), t("record.column.value")],
            rows,
            widths: [2, 1],
          } as const,
        ]
      : []),
  ];
}

/** "Board 21 to board 15": measured lengths, one row each. */
function lengthRows(lengths: unknown, { t, showStated }: PaperWords): string[][] {
  const parsed = z.array(lengthSchema).safeParse(lengths);
  return (parsed.success ? parsed.data : []).map(({ from, to, lengthMm, sdMm, note }) => [
    t("record.length", { from, to, note: note ?? "" }),
    t("record.lengthValue", {
      length: showStated(lengthMm, "length"),
      sd: showStated(sdMm, "length"),
    }),
  ]);
}

function statements(value: unknown, path: string, words: PaperWords): string[][] {
  if (Array.isArray(value) && value.every((item) => typeof item !== "object")) {
    const shown = value.map((item) => statedValue(item, path, words)).join(", ");
    return shown ? [[fieldWords(path, words.t), shown]] : [];
  }
  if (Array.isArray(value)) {
    return value.flatMap((item, i) => statements(item, `${path}[${i}]`, words));
  }
  if (typeof value === "object" && value !== null) {
    return Object.entries(value).flatMap(([name, item]) =>
      statements(item, `${path}.${name}`, words),
    );
  }
  return value === undefined || value === null
    ? []
    : [[fieldWords(path, words.t), statedValue(value, path, words)]];
}

/** A stated number with the unit that its name carries. */
function statedValue(value: unknown, path: string, { showStated, locale, t }: PaperWords): string {
  if (typeof value !== "number") return wordFor(String(value), t);
  const name = path.replace(/\[\d+\]$/, "");
  if (name.endsWith("Mm")) return showStated(value, "length");
  if (/Deg(\.about[XYZ])?$/.test(name)) return showStated(value, "angle");
  return formatNumber(value, Math.min(6, (String(value).split(".")[1] ?? "").length), locale);
}

const lensDecimals: Readonly<Record<string, number>> = { fx: 1, fy: 1, cx: 1, cy: 1 };

function lensBlocks({ result }: RecordContent, words: PaperWords): Block[] {
  if (!result) return [];
  const { t } = words;
  const cameras = [result.camera, ...(result.otherCameras ?? [])];
  return [
    { kind: "heading", level: 2, words: t("record.lens") },
    ...cameras.map((camera): Block => ({ kind: "text", words: lensLine(camera, words) })),
  ];
}

function lensLine(camera: Result["camera"], { t, locale }: PaperWords): string {
  const numbers = Object.entries(camera.lens).map(([name, value]) => {
    const digits = lensDecimals[name] ?? 5;
    const sd = camera.standardUncertainty[name];
    const sure = sd === undefined ? "" : ` (± ${formatNumber(sd, digits, locale)})`;
    return `${name} ${formatNumber(value, digits, locale)}${sure}`;
  });
  const { make, model, width, height } = camera;
  const source = t(`record.lens.${camera.source}`);
  const listed = numbers.join("; ");
  return t("record.lensLine", { source, make, model, width, height, numbers: listed });
}

function listBlocks({ checks }: RecordContent, { t }: PaperWords): Block[] {
  const states = {
    done: t("paper.yes"),
    "does not apply": t("checks.doesNotApply"),
    open: t("paper.notDone"),
  };
  return [
    { kind: "heading", level: 2, words: t("record.lists") },
    {
      kind: "table",
      head: [t("record.column.check"), t("record.column.state"), t("record.column.note")],
      rows: checks.map(({ list, name, state, note, photo }) => [
        `${t(checkKey(name as CheckName))} (${t(`record.list.${list}`)})`,
        states[state],
        [note, photo].filter(Boolean).join(" · "),
      ]),
      widths: [3, 1, 2],
    },
  ];
}

function writtenBlocks({ work, bay, car }: RecordContent, { t }: PaperWords): Block[] {
  const items: [string, string][] = [
    [t("record.scanBefore"), work.scanBefore],
    [t("record.scanAfter"), work.scanAfter],
    [t("record.note"), [work.note, car.reasonNote, bay.name, bay.note].filter(Boolean).join(" · ")],
  ];
  return [{ kind: "facts", columns: 1, items: items.filter(([, value]) => value !== "") }];
}

function attachedBlocks({ attachments }: RecordContent, { t, locale }: PaperWords): Block[] {
  if (attachments.length === 0) return [];
  return [
    { kind: "heading", level: 2, words: t("record.attachments") },
    {
      kind: "table",
      head: [t("record.column.what"), t("record.column.value"), t("record.column.hash")],
      rows: attachments.map(({ name, kind, bytes, sha256 }) => [
        name,
        `${t(`record.attached.${kind}`)}, ${formatNumber(bytes / 1000, 1, locale)} kB`,
        sha256.slice(0, 16),
      ]),
      widths: [3, 2, 2],
    },
  ];
}

function sideView(result: Result | null, words: PaperWords): Block[] {
  if (!result) return [];
  const sketch = baySketch(result, "side", 178, 90, words);
  return [{ kind: "drawings", sketches: [{ caption: words.t("record.sideCaption"), sketch }] }];
}
