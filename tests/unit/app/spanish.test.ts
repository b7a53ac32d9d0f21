import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { sheetSchema, statementsSchema } from "../../../src/app/forms/form-schemas.ts";
import type { JsonSchema } from "../../../src/app/forms/json-schema.ts";
import { en } from "../../../src/app/i18n/en/english.ts";
import { hintsEs } from "../../../src/app/i18n/es/engine/hints.ts";
import { saidEs } from "../../../src/app/i18n/es/engine/sentences.ts";
import { remarksEs, spanishSentences } from "../../../src/app/i18n/es/spanish.ts";
import { fillSentence, type Speech } from "../../../src/app/i18n/sentence.ts";
import { sayingsIn } from "../../../src/app/i18n/speech.ts";
import { english, fill, loadLanguage, type Spoken } from "../../../src/app/i18n/translate.ts";
import { formatQuantity, formatStated } from "../../../src/app/i18n/units.ts";
import { exampleSheets } from "../../../src/app/library/example-sheets.ts";
import { inWords } from "../../../src/app/library/in-words.ts";
import { parseJobFile } from "../../../src/job/file/parse-job.ts";
import { readPlacementSheet } from "../../../src/placement/sheet/sheet-questions.ts";
import type { Said, SaidValues } from "../../../src/say/remark.ts";
import { madeSentences } from "../../tools/engine-codes.ts";

/** Every gap of a text, those inside choices too. */
const gapsIn = (text: string): string[] => [
  ...new Set([...text.matchAll(/\{(\w+)/g)].map((match) => match[1])),
];

const textsByCode = new Map<string, string>([
  ...Object.entries(remarksEs).map(([code, pair]): [string, string] => [code, pair.join(" ")]),
  ...Object.entries(saidEs),
]);
const made = madeSentences();
const writtenOut = new Set(made.map(({ code }) => code));
/** The codes that a place may make; one that is put together makes those that nobody writes out. */
const codesFor = (code: string): string[] =>
  [...textsByCode.keys()].filter((known) =>
    code.endsWith("*")
      ? known.startsWith(code.slice(0, -1)) && !writtenOut.has(known)
      : known === code,
  );

describe("Spanish for the engine's sentences", () => {
  test("every Spanish sentence belongs to a place in the engine that says it", () => {
    const said = new Set(made.flatMap(({ code }) => codesFor(code)));
    expect(said.size).toBeGreaterThan(130);
    expect([...textsByCode.keys()].filter((code) => !said.has(code))).toEqual([]);
  });

  test("every remark of the engine has Spanish", () => {
    const remarks = made.filter(({ remark, code }) => remark && !code.endsWith("*"));
    expect(remarks.length).toBeGreaterThan(60);
    expect(remarks.filter(({ code }) => !(code in remarksEs))).toEqual([]);
  });

  test("the engine gives every value that the Spanish sentence shows", () => {
    const lacking = made.flatMap(({ file, code, values }) =>
      values === null
        ? []
        : codesFor(code).flatMap((known) =>
            gapsIn(textsByCode.get(known)!)
              .filter((gap) => gap !== "about" && gap !== "typed" && !values.includes(gap))
              .map((gap) => `${file}: ${known} gives no {${gap}}`),
          ),
    );
    expect(lacking).toEqual([]);
  });

  test("no gap stays open, whatever its kind", () => {
    const open = [...textsByCode].filter(([, text]) => {
      const values: SaidValues = Object.fromEntries(
        gapsIn(text).map((gap) => [
          gap,
          text.includes(`{${gap}:said}`) ? [] : firstChoice(text, gap),
        ]),
      );
      return [...(fillSentence(text, values, plainSpeech) ?? "{}")].some((c) => "{}|".includes(c));
    });
    expect(open.map(([code]) => code)).toEqual([]);
  });
});

const firstChoice = (text: string, gap: string): string | number =>
  new RegExp(`\\{${gap}\\?([^=]*)=`).exec(text)?.[1] ?? 2;

const plainSpeech: Speech = {
  texts: spanishSentences,
  locale: "es",
  show: (value, quantity, decimals) =>
    formatQuantity(value, quantity, decimals, { length: "mm", angle: "deg" }, "es"),
  stated: (value, quantity) => formatStated(value, quantity, { length: "mm", angle: "deg" }, "es"),
  typed: "mm",
  number: (value, decimals) => value.toFixed(decimals).replace(".", ","),
  word: (word) => word,
  board: (id) => `${id}`,
  field: (path) => path,
};

const sayingsOf = (spoken: Spoken, locale: string) =>
  sayingsIn(
    spoken,
    (key, parameters) => fill(spoken.texts[key], parameters),
    locale,
    { length: "mm", angle: "deg" },
    (value, quantity, decimals) =>
      formatQuantity(value, quantity, decimals, { length: "mm", angle: "deg" }, locale),
  );

describe("saying what the engine found", () => {
  const advice: Said[] = [
    { code: "advice-because", values: { share: 0.614, source: "wheel plates" } },
    { code: "advice-needed", values: { needed: 0.351, sd: 0.4, unit: "mm" } },
  ];

  test("Spanish, with a decimal comma and translated words", async () => {
    const { say, sayRemark } = sayingsOf(await loadLanguage("es"), "es-ES");
    expect(say(advice, "English")).toBe(
      "La mayor parte de la incertidumbre (61 % de su varianza) viene de: Placas de rueda. " +
        "Hace falta una incertidumbre típica de 0,35 mm; ahora es de 0,40 mm.",
    );
    const remark = {
      code: "board-moved",
      severity: "warning" as const,
      message: "Board 31 moved",
      remedy: "Fix it.",
      values: { board: "31", shift: 2.34, turn: 0.1, before: "a.jpg", after: "b.jpg" },
    };
    expect(sayRemark(remark).message).toBe(
      "La placa 31 (soporte y blanco) se movió 2,3 mm y 0,10° entre las fotos a.jpg y b.jpg.",
    );
  });

  test("a file's name keeps its letters, a sentence begins with a capital", async () => {
    const { sayRemark } = sayingsOf(await loadLanguage("es"), "es-ES");
    const common = { severity: "warning" as const, message: "", remedy: "" };
    const named = { ...common, code: "photo-resized", about: "img_1.jpg" };
    expect(sayRemark(named).message).toMatch(/^img_1\.jpg es una copia/);
    const values = { kind: "height", required: 3, guess: [] };
    const unit = { ...common, code: "sheet-unit", about: "steps[0].checks[1]", values };
    expect(sayRemark(unit).message).toMatch(/^Altura de 3 mm es poco corriente \(Paso 1, Compro/);
  });

  test("lists, choices and further sentences inside one", async () => {
    const { say } = sayingsOf(await loadLanguage("es"), "es-ES");
    const boards = [31, 32].map((board) => ({
      code: "stability-board",
      values: { board: `${board}`, shift: 3, expanded: 0.5 },
    }));
    expect(say({ code: "stability-moved", values: { boards } }, "")).toBe(
      "Se movió desde las primeras fotos: la placa 31 (soporte y blanco), 3,0 mm (± 0,5 mm) y " +
        "la placa 32 (soporte y blanco), 3,0 mm (± 0,5 mm).",
    );
    const label = (origin: string, point: string) =>
      say({ code: "label: distance", values: { origin, point } }, "");
    expect(label("front-axle line", "")).toBe(
      "Distancia por delante de la línea del eje delantero",
    );
    expect(label("dropped point", "morro")).toBe("Distancia por delante del punto «morro»");
  });

  test("a value that an older file lacks falls back to the engine's own sentence", async () => {
    const { say, sayRemark } = sayingsOf(await loadLanguage("es"), "es-ES");
    expect(say({ code: "stability-still" }, "None moved.")).toBe("None moved.");
    expect(say({ code: "never-heard-of" }, "English")).toBe("English");
    const old = { code: "board-moved", severity: "warning" as const, message: "M", remedy: "R" };
    expect(sayRemark(old)).toMatchObject({ message: "M", remedy: "R" });
  });

  test("a place in a sheet is called as the form calls it, in English too", () => {
    const { sayRemark } = sayingsOf(english, "en");
    const remark = {
      ...{ code: "sheet-no-reference", severity: "warning" as const, remedy: "" },
      message: "Placement sheet, steps[0].checks[2]: it does not say where the number came from.",
      about: "steps[0].checks[2].reference",
    };
    expect(sayRemark(remark).message).toBe(
      "Placement sheet, Step 1, Check 3: it does not say where the number came from.",
    );
    const reason = [{ code: "reason: missing" }];
    const missing = { ...remark, code: "sheet-field", about: "steps[0].checks[2].required" };
    expect(sayRemark({ ...missing, values: { reason } }).message).toBe(
      "Placement sheet, Step 1, Check 3, Required: nothing is entered.",
    );
    // A photo's name is no place.
    const named = { ...remark, code: "never-heard-of", about: "a[1].jpg", message: "a[1].jpg." };
    expect(sayRemark(named).message).toBe("a[1].jpg.");
  });

  test("English without lengths or angles is the engine's own", () => {
    expect(
      sayingsOf(english, "en").say({ code: "stability-differ" }, "As the engine says it."),
    ).toBe("As the engine says it.");
  });
});

describe("forms from schemas", () => {
  const parts: JsonSchema[] = [];
  const walk = (node: unknown): void => {
    if (typeof node !== "object" || node === null) return;
    if (!Array.isArray(node)) parts.push(node);
    Object.values(node).forEach(walk);
  };
  walk([sheetSchema(), statementsSchema()]);

  test("every field and every choice has a name in both languages", () => {
    const names = new Set(parts.flatMap((part) => Object.keys(part.properties ?? {})));
    expect(names.size).toBeGreaterThan(50);
    const fixed = ["format", "version"];
    const unnamed = [...names].filter((name) => !fixed.includes(name) && !(`field.${name}` in en));
    expect(unnamed).toEqual([]);
    const choices = new Set(parts.flatMap((part) => part.enum ?? []));
    expect([...choices].filter((choice) => !(`word.${choice}` in en))).toEqual([]);
  });

  test("every hint has Spanish, and Spanish has no other", () => {
    const hints = parts.flatMap(({ description }) =>
      typeof description === "string" ? [description] : [],
    );
    expect(new Set(hints).size).toBeGreaterThan(25);
    expect([...new Set(hints)].sort()).toEqual(Object.keys(hintsEs).sort());
  });
});

test("the demo job is Spanish, and stays a job", () => {
  const read = (name: string) =>
    JSON.parse(readFileSync(`sample-images/demo-job/${name}`, "utf8")) as object;
  const missed: string[] = [];
  const job = inWords({ ...read("job.json"), placement: read("placement.json") }, (text) => {
    const spanish = spanishSentences.example(text);
    if (spanish === undefined) missed.push(text);
    return spanish ?? text;
  });
  expect(missed).toEqual([]);
  expect(parseJobFile(job)).toMatchObject({
    ok: true,
    job: { targets: [{ name: "tablero de cámara" }] },
  });
});

test("the example sheets are Spanish, and stay sheets", async () => {
  const missed: string[] = [];
  const said: string[] = [];
  const examples = await exampleSheets((text) => {
    said.push(text);
    const spanish = spanishSentences.example(text);
    if (spanish === undefined) missed.push(text);
    return spanish ?? text;
  });
  expect(examples.length).toBe(5);
  expect(said.length).toBeGreaterThan(60);
  expect(missed).toEqual([]);
  for (const { sheet } of examples) {
    expect(readPlacementSheet(sheet)).toMatchObject({ ok: true, remarks: [] });
  }
  expect(JSON.stringify(examples[0].sheet)).toContain("ejemplo inventado 1, línea 1");
});
