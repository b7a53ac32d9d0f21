import { describe, expect, test } from "vitest";
import { spanishSentences } from "../../../src/app/i18n/es/spanish.ts";
import { measuredEn } from "../../../src/app/i18n/measured.ts";
import { sayingsIn } from "../../../src/app/i18n/speech.ts";
import { fill, type Language, loadLanguage } from "../../../src/app/i18n/translate.ts";
import { formatUncertainty, type Units } from "../../../src/app/i18n/units.ts";
import { parseJobFile } from "../../../src/job/file/parse-job.ts";
import { crossCheck } from "../../../src/placement/decide/cross-check.ts";
import type { SaidValues } from "../../../src/say/remark.ts";

const sayings = async (language: Language, units: Units) => {
  const spoken = await loadLanguage(language);
  return sayingsIn(
    spoken,
    (key, parameters) => fill(spoken.texts[key], parameters),
    language,
    units,
    (value, quantity, decimals) => formatUncertainty(value, quantity, decimals, units, language),
  );
};

const inches: Units = { length: "inch", angle: "mm/m" };
const languages: readonly Language[] = ["en", "es"];

/** A value for every gap; the first choice where a text chooses by value. */
const valuesFor = (text: string, unit: "mm" | "deg"): SaidValues => ({
  ...Object.fromEntries(
    [...text.matchAll(/\{(\w+)(:said)?/g)].map(([, gap, said]) => [
      gap,
      said ? [] : (new RegExp(`\\{${gap}\\?([^=]*)=`).exec(text)?.[1] ?? 2),
    ]),
  ),
  unit,
});

/** "mm" but not "mm/m", and degrees in words or as a sign. */
const metric = /\bmm\b(?!\/m)|°|degrees|grados/;
/** A stated number as the file holds it, behind the same number in the chosen unit. */
const inFile = /(?<=(?:in|mm\/m)) \(−?[\d.,]+(?: mm|°)\)/g;

describe.each(languages)("sentences in inches and mm per metre, %s", (language) => {
  const remarks = Object.keys(measuredEn.remarks) as (keyof typeof measuredEn.remarks)[];
  const said = Object.keys(measuredEn.said) as (keyof typeof measuredEn.said)[];
  const texts = language === "en" ? measuredEn : spanishSentences;

  test("no remark that carries a length or an angle says mm or degrees", async () => {
    const { sayRemark } = await sayings(language, inches);
    expect(remarks.length).toBeGreaterThan(12);
    // Its subject is the unit that the sheet's number was in.
    const aboutUnits = new Set<string>(["required-other-unit"]);
    const metricOnes = remarks.flatMap((code) => {
      if (aboutUnits.has(code)) return [];
      const values = valuesFor(texts.remarks[code].join(" "), "mm");
      const engine = { message: "5 mm", remedy: "" };
      const { message, remedy } = sayRemark({
        code,
        severity: "info",
        about: "x",
        ...engine,
        values,
      });
      const shown = message.replaceAll(inFile, "");
      return metric.test(shown) || metric.test(remedy) ? [code, message] : [];
    });
    expect(metricOnes).toEqual([]);
  });

  test.each(["mm", "deg"] as const)("nor does any other sentence, %s", async (unit) => {
    const { say } = await sayings(language, inches);
    const metricOnes = said.flatMap((code) => {
      const words = say({ code, values: valuesFor(texts.said[code], unit) }, "5 mm");
      return metric.test(words) ? [code, words] : [];
    });
    expect(metricOnes).toEqual([]);
  });
});

test("one sentence in every unit: 25.4 mm are an inch", async () => {
  const found = crossCheck(
    { value: 125.39, expanded: 25.4 },
    { value: 100, expanded: 0 },
    "mm",
    "tape",
  );
  const inUnit = async (length: Units["length"]) =>
    (await sayings("en", { length, angle: "deg" })).say(found.said, found.sentence);
  expect(await inUnit("mm")).toBe(found.sentence);
  expect(await inUnit("inch")).toContain("tape: 1.000 in apart, within the 1.000 in");
  expect(await inUnit("inch16")).toContain("tape: 1.000 in apart, within the 1.000 in");
});

test("a method's name stays in a sentence about a gap", async () => {
  const { sayRemark } = await sayings("en", inches);
  const what = [{ code: "method-hub", values: { place: "front left", way: "along" } }];
  const values = { what, gap: 2.54, sd: 2.54 };
  const remark = { code: "methods-agree", severity: "info" as const, message: "", remedy: "" };
  expect(sayRemark({ ...remark, values }).message).toBe(
    "Two methods agree: the front left hub's dropped point and its wheel plate, along the car are " +
      "0.100 in apart (standard uncertainty 0.100 in).",
  );
});

test("a refused job says why in Spanish", async () => {
  const { sayRemark } = await sayings("es", inches);
  const parsed = parseJobFile({ levels: { meets: "x" }, colour: 1 });
  if (parsed.ok) throw new Error("This job must be refused.");
  expect(parsed.reasons.length).toBe(parsed.problems.length);
  const words = parsed.reasons.map(
    ({ field, reason }) =>
      sayRemark({
        code: "job-input",
        severity: "error",
        message: "English",
        remedy: "",
        values: { field, reason },
      }).message,
  );
  expect(words.join("\n")).toContain("hace falta un número");
  expect(words.join("\n")).toContain("no existe ningún campo «colour»");
  expect(words.filter((text) => text === "English" || text.includes("undefined"))).toEqual([]);
  expect(words.some((text) => /: falta\.$/.test(text))).toBe(true);
});

describe.each(languages)("a question about a number of the sheet, %s", (language) => {
  const saidOf = async (code: "sheet-unit" | "sheet-required-outside", values: SaidValues) => {
    const remark = { code, severity: "warning" as const, message: "", remedy: "", values };
    const inUnits = async (units: Units) => (await sayings(language, units)).sayRemark(remark);
    return [await inUnits({ length: "mm", angle: "deg" }), await inUnits(inches)];
  };
  const point = (text: string) => text.replaceAll(",", ".");

  test("about its unit speaks of the unit in which it is typed", async () => {
    const guess = ["12 inches = 304.8 mm"];
    const [mm, inch] = await saidOf("sheet-unit", { kind: "height", required: 12, guess });
    expect(point(mm.message)).toMatch(/ 12 mm .*12 inches = 304\.8 mm/);
    expect(mm.remedy).toMatch(/All lengths are millimetres|Todas las longitudes son milímetros/);
    expect(point(inch.message)).toContain(" 0.472 in (12 mm) ");
    expect(inch.message).not.toContain("12 inches");
    expect(inch.remedy).toMatch(/typed in inches|se escriben en pulgadas/);
  });

  test("about its limits never rounds what was stated", async () => {
    const values = { lower: 0.25, upper: 12.7, unit: "mm" };
    const [mm, inch] = await saidOf("sheet-required-outside", values);
    for (const limit of ["0.25 mm", "12.7 mm"]) expect(point(mm.message)).toContain(limit);
    for (const limit of ["0.010 in (0.25 mm)", "0.5 in (12.7 mm)"])
      expect(point(inch.message)).toContain(limit);
    const angles = { lower: 0.125, upper: 0.5, unit: "deg" };
    const [deg, slope] = await saidOf("sheet-required-outside", angles);
    expect(point(deg.message)).toContain("0.125°");
    expect(point(slope.message)).toContain("2.18 mm/m (0.125°)");
  });
});
