import { describe, expect, test } from "vitest";
import { en } from "../../../src/app/i18n/en/english.ts";
import { es } from "../../../src/app/i18n/es/spanish.ts";
import { fill, pickLanguage } from "../../../src/app/i18n/translate.ts";

const holes = (text: string): string[] =>
  [...new Set([...text.matchAll(/\{(\w+)[|}]/g)].map((match) => match[1]))].sort();

describe("languages", () => {
  const keys = Object.keys(en) as (keyof typeof en)[];

  test("there are texts, and Spanish has exactly the same keys", () => {
    expect(keys.length).toBeGreaterThan(300);
    expect(Object.keys(es).sort()).toEqual([...keys].sort());
  });

  test("both fill in the same values", () => {
    for (const key of keys) {
      expect([key, holes(es[key])]).toEqual([key, holes(en[key])]);
    }
  });

  test("Spanish is translated: few texts are the same, and none is empty", () => {
    const same = keys.filter((key) => es[key] === en[key]);
    expect(same.length).toBeLessThan(12);
    expect(keys.filter((key) => es[key].trim() === "")).toEqual([]);
  });
});

describe("filling in", () => {
  test("values and numbers", () => {
    expect(fill("{a} of {b}", { a: 2, b: "x" })).toBe("2 of x");
    expect(fill("{n} {n|photo|photos}", { n: 1 })).toBe("1 photo");
    expect(fill("{n} {n|photo|photos}", { n: 0 })).toBe("0 photos");
    expect(fill("{missing}")).toBe("{missing}");
  });

  test("the browser's languages decide, in their order", () => {
    expect(pickLanguage("auto", ["de-DE", "es-MX", "en"])).toBe("es");
    expect(pickLanguage("auto", ["de-DE"])).toBe("en");
    expect(pickLanguage("en", ["es"])).toBe("en");
  });
});
