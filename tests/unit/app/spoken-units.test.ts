import { describe, expect, test } from "vitest";
import { measuredEn } from "../../../src/app/i18n/en/measured.ts";
import { spanishSentences } from "../../../src/app/i18n/es.ts";
import { sayingsIn } from "../../../src/app/i18n/speech.ts";
import { fill, type Language, loadLanguage } from "../../../src/app/i18n/translate.ts";
import { formatUncertainty, type Units } from "../../../src/app/units.ts";
import { parseJobFile } from "../../../src/job/parse-job.ts";
import type { SaidValues } from "../../../src/photo/remark.ts";
import { crossCheck } from "../../../src/placement/cross-check.ts";

const sayings = async (language: Language, units: Units) => {
  const spoken = await loadLanguage(language);
  return sayingsIn(
    spoken,
    (key, parameters) => fill(spoken.texts[key], parameters),
    language,
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

describe.each(languages)("sentences in inches and mm per metre, %s", (language) => {
  const remarks = Object.keys(measuredEn.remarks) as (keyof typeof measuredEn.remarks)[];
  const said = Object.keys(measuredEn.said) as (keyof typeof measuredEn.said)[];
  const texts = language === "en" ? measuredEn : spanishSentences;

  test("no remark that carries a length or an angle says mm or degrees", async () => {
    const { sayRemark } = await sayings(language, inches);
    expect(remarks.length).toBeGreaterThan(12);
    const metricOnes = remarks.flatMap((code) => {
      const values = valuesFor(texts.remarks[code].join(" "), "mm");
      const engine = { message: "5 mm", remedy: "" };
      const { message, remedy } = sayRemark({
        code,
        severity: "info",
        about: "x",
        ...engine,
        values,
      });
      // The remedy of a tolerance names the units that a sheet's file may use.
      const fromFile = code === "sheet-tolerance-size";
      return metric.test(message) || (!fromFile && metric.test(remedy)) ? [code, message] : [];
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
