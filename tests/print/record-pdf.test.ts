/** The PDF of a closed record, read back by poppler: every number in it is one of the JSON. */
import { execFileSync } from "node:child_process";
import { mkdtempSync, readdirSync, readFileSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { describe, expect, test } from "vitest";
import { english, loadLanguage } from "../../src/app/i18n/translate.ts";
import { wordsIn } from "../../src/app/i18n/words-in.ts";
import { paperOfRevision } from "../../src/app/paper/paper-of-revision.ts";
import { closeRevision } from "../../src/record/close-revision.ts";
import { openPoints } from "../../src/record/open-points.ts";
import type { PaperSize } from "../../src/record/paper/paper.ts";
import { writePdf } from "../../src/record/pdf/write-pdf.ts";
import type { RecordContent } from "../../src/record/revision.ts";
import { inventedContent, inventedRevisions } from "../tools/invented-record.ts";

const font = (weight: string): Uint8Array =>
  readFileSync(
    `node_modules/@expo-google-fonts/atkinson-hyperlegible-next/${weight}/AtkinsonHyperlegibleNext_${weight}.ttf`,
  );

async function made(language: "en" | "es", size: PaperSize, sealed = inventedRevisions()[1]) {
  const spoken = language === "en" ? english : await loadLanguage("es");
  const words = wordsIn(spoken, { length: "mm", angle: "deg" }, language);
  const paper = paperOfRevision(sealed, size, language, words);
  const fonts = { regular: font("400Regular"), bold: font("700Bold") };
  const file = join(mkdtempSync(join(tmpdir(), "plumbshot-pdf-")), "record.pdf");
  writeFileSync(file, await writePdf(paper, fonts, new Map()));
  const run = (command: string, ...args: string[]) =>
    execFileSync(command, [...args], { encoding: "utf8" });
  return {
    sealed,
    file,
    text: run("pdftotext", "-layout", file, "-"),
    firstPage: run("pdftotext", "-layout", "-l", "1", file, "-"),
    info: run("pdfinfo", file),
    structure: run("pdfinfo", "-struct-text", file),
  };
}

/** All numbers of a JSON value, their shares in percent, and the digits inside its words. */
function numbersIn(value: unknown): { numbers: number[]; words: string } {
  const numbers: number[] = [];
  const words: string[] = [];
  const look = (item: unknown): void => {
    if (typeof item === "number") numbers.push(item, 100 * item);
    else if (typeof item === "string") words.push(item);
    else if (typeof item === "object" && item !== null) {
      for (const [key, member] of Object.entries(item)) {
        words.push(key);
        look(member);
      }
    }
  };
  look(value);
  return { numbers, words: words.join(" ") };
}

const papers = [
  ["en", "a4"],
  ["en", "letter"],
  ["es", "a4"],
  ["es", "letter"],
] as const;

describe.each(papers)("the record in %s on %s", (language, size) => {
  test("says no number that the closed revision does not have", async () => {
    const { sealed, text } = await made(language, size);
    const { numbers, words } = numbersIn(sealed.revision);
    const deviations = sealed.revision.content.result!.checks.map(
      ({ measured, required }) => measured - required,
    );
    // Not of the record: k for 95 %, page numbers, scale bars, the probability's limits, the hash.
    const ours = new Set(["95", "256", "99.9", "0.1", "106", "1"]);
    const pages = (text.match(/\f/g) ?? []).length;
    const bars = [1, 2, 5, 10, 20, 50, 100, 200, 500, 1000, 2000, 5000];
    const known = [
      ...numbers,
      ...deviations,
      ...bars,
      ...Array.from({ length: pages }, (_, i) => i + 1),
    ];
    let checked = 0;
    const strangers: string[] = [];
    // Dates, hashes and names keep their digits among letters, dashes and colons.
    const plain = text
      .replaceAll(sealed.sha256, " ")
      .replace(/[\w:.+/-]*[a-z:/-][\w:.+/-]*/gi, " ");
    for (const [token] of plain.matchAll(/\d+(?:[.,]\d+)?/g)) {
      const written = token.replace(",", ".");
      const decimals = (written.split(".")[1] ?? "").length;
      checked++;
      const isKnown =
        ours.has(written) ||
        words.includes(written) ||
        known.some((number) => Math.abs(number).toFixed(decimals) === written);
      if (!isKnown) strangers.push(token);
    }
    // Days and years of dates in words.
    const dates = new Set(["14", "15", "16", "2026", "10", "11", "12", "8", "00", "9"]);
    expect(strangers.filter((token) => !dates.has(token))).toEqual([]);
    expect(checked).toBeGreaterThan(60);
  });

  test("has its numbers and verdicts on the first page, tags and its language", async () => {
    const { firstPage, info, structure, text } = await made(language, size);
    const point = language === "en" ? "." : ",";
    expect(firstPage).toContain(`2507${point}9 mm ± 2${point}8 mm`);
    expect(firstPage).toContain("Ñandú Ltd.");
    expect(firstPage).toContain(language === "en" ? "Signature" : "Firma");
    expect(info).toMatch(/Tagged:\s+yes/);
    expect(info).toMatch(size === "a4" ? /595\.2\d* x 841\.8/ : /612 x 792/);
    expect(structure).toMatch(/H1[\s\S]*H2[\s\S]*Table/);
    // A document does not promise what is still to come.
    expect(text).not.toMatch(/\byet\b|todavía|aún/i);
  });
});

/**
 * A record as full as a job can make it: six checks, every open point, notes, thirty photos without
 * pictures. What is short in one language is long in the other.
 */
function fullRecord(photos: number) {
  const content = structuredClone(inventedContent()) as RecordContent;
  const { checks } = content.result!;
  const six = [0, 1, 2, 0, 1, 2].map((i, n) => ({ ...checks[i], id: `${checks[i].id}-${n}` }));
  Object.assign(content.result!, { checks: six });
  const [, photo] = content.photos;
  const many = Array.from({ length: photos }, (_, i) => ({ ...photo, name: `bay-${i}.jpg` }));
  Object.assign(content, { photos: [content.photos[0], ...many] });
  return closeRevision({
    record: "0123456789abcdef01234567",
    timeZone: "Europe/Madrid",
    program: "Plumbshot test",
    content,
    before: null,
    changeReason: "",
    openPoints: openPoints({ content, stale: true, stepsOpen: ["second", "third"] }),
    chain: { device: "d1", sequence: 1, previous: null },
    closedAt: "2026-01-15T12:00:00+01:00",
  });
}

/** Share of each page's height, without foot, that is used: down to its lowest ink. */
function usedHeights(file: string): number[] {
  const folder = mkdtempSync(join(tmpdir(), "plumbshot-pages-"));
  execFileSync("pdftoppm", ["-gray", "-r", "30", file, join(folder, "page")]);
  return readdirSync(folder)
    .sort()
    .map((name) => {
      const bytes = readFileSync(join(folder, name));
      // PGM: "P5\nwidth height\n255\n", then one byte a pixel.
      const [head, width, height] = /^P5\s(\d+)\s(\d+)\s255\s/.exec(bytes.toString("latin1"))!;
      const pixels = bytes.subarray(head.length);
      const foot = Math.round(Number(height) * 0.94);
      let row = foot - 1;
      const line = (y: number) => pixels.subarray(y * Number(width), (y + 1) * Number(width));
      while (row > 0 && line(row).every((grey) => grey > 200)) row--;
      return row / foot;
    });
}

describe.each(papers)("a full record in %s on %s", (language, size) => {
  test("leaves no page but the last a fifth empty", { timeout: 120_000 }, async () => {
    const { file, firstPage } = await made(language, size, fullRecord(8));
    expect(firstPage).toContain(language === "en" ? "Signature" : "Firma");
    const used = usedHeights(file);
    expect(used.length).toBeGreaterThan(2);
    const empty = used.slice(0, -1).map((share) => 1 - share);
    expect(Math.max(...empty), used.map((share) => share.toFixed(2)).join(" ")).toBeLessThan(0.2);
  });
});

test("a number that the JSON does not have would be noticed", () => {
  const { numbers } = numbersIn(inventedRevisions()[1].revision);
  expect(numbers.some((number) => Math.abs(number).toFixed(1) === "2507.8")).toBe(false);
});
