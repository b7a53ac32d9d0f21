/** Slips that were found by trying the app as a new user would: each stays mended. */
import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { onPaper } from "../../../src/app/drawing/bay/view.ts";
import { inventedResult } from "../../../src/app/fixtures/invented-job.ts";
import { sceneOf } from "../../../src/app/forms/sheet/scene.ts";
import { en } from "../../../src/app/i18n/en/english.ts";
import { es, spanishSentences } from "../../../src/app/i18n/es/spanish.ts";
import { measuredEn } from "../../../src/app/i18n/measured.ts";
import { readTolerance, readTyped } from "../../../src/app/i18n/typed.ts";
import { resultOfPhoto } from "../../../src/app/state/photo/photo-result.ts";
import { barWords, boardPageLayout, papers } from "../../../src/boards/pages/paper.ts";
import { uncheckedPrintSd } from "../../../src/boards/print-check.ts";
import { jobFileSchema } from "../../../src/job/file/job-file.ts";
import { statePrints } from "../../../src/job/problem/print-sets.ts";
import type { Remark } from "../../../src/job/result/remark-codes.ts";
import { blankDraft } from "../../../src/placement/sheet/draft.ts";

const mm = { length: "mm", angle: "deg" } as const;

describe("what hands type", () => {
  test("'98 7/16 in', '2.5 m' and '±10' are read", () => {
    expect(readTyped("98 7/16 in", "length", mm)).toBeCloseTo(98.4375 * 25.4, 9);
    expect(readTyped("2.5 m", "length", mm)).toBe(2500);
    expect(readTolerance("±10", "length", mm)).toBe(10);
  });

  test("inch marks and feet: '98 7/16\"', '98-7/16', 8' 2 7/16\"", () => {
    const inch = { length: "inch", angle: "deg" } as const;
    for (const text of ['98 7/16"', "98-7/16", `8' 2 7/16"`]) {
      expect(readTyped(text, "length", inch)).toBeCloseTo(98.4375 * 25.4, 9);
    }
  });
});

describe("inches", () => {
  test("no text says millimetres or metres by itself, whatever unit is chosen", () => {
    // Names: of the file's unit, of a unit for angles, of a tool, of the mileage.
    const allowed = new Set([
      "settings.lengthHint",
      "settings.mmPerM",
      "way.folding rule",
      "car.odometer",
    ]);
    const metric = /\bmm\b|\bmillimet|\bmetres?\b|\bmetros?\b|\bmilímetros?\b|\d\s?m\b/;
    for (const texts of [en, es]) {
      const found = Object.entries(texts).filter(
        ([key, text]) => !allowed.has(key) && metric.test(text.replace(/\{[^}]*\}/g, "")),
      );
      expect(found).toEqual([]);
    }
  });

  test("bars of inch kits are whole and half inches, which a rule shows", () => {
    for (const paper of [papers.Letter, papers.Tabloid]) {
      const { horizontal, vertical } = boardPageLayout(paper);
      for (const { lengthMm } of [horizontal, vertical]) {
        const halves = (2 * lengthMm) / 25.4;
        expect(Math.abs(halves - Math.round(halves))).toBeLessThan(0.005);
        expect(barWords(paper, lengthMm)).toMatch(/^\d+( 1\/2)? in /);
      }
    }
    expect(boardPageLayout(papers.A4).horizontal.lengthMm % 10).toBe(0);
  });
});

describe("prints", () => {
  test("the demo's bars are those of the kit that it links", () => {
    const job = JSON.parse(readFileSync("sample-images/demo-job/job.json", "utf8")) as {
      boards: {
        printCheck: { horizontal: { nominalMm: number }; vertical: { nominalMm: number } };
      };
    };
    const { horizontal, vertical } = boardPageLayout(papers.A4);
    const { printCheck } = job.boards;
    expect(printCheck.horizontal.nominalMm).toBe(horizontal.lengthMm);
    expect(printCheck.vertical.nominalMm).toBe(vertical.lengthMm);
  });

  test("an unchecked print is sure to the same 1 % wherever it is said", () => {
    expect(2 * uncheckedPrintSd).toBe(0.01);
    const remarks: Remark[] = [];
    const job = { format: "plumbshot-job", version: 1, title: "t", placement: "p" };
    statePrints(jobFileSchema.parse(job), remarks);
    const said = [
      remarks[0].message,
      en["boards.unchecked"],
      es["boards.unchecked"],
      measuredEn.remarks["print-check-elsewhere"]?.[0] ?? "",
      spanishSentences.remarks["print-unchecked"]?.[0] ?? "",
      spanishSentences.remarks["print-check-elsewhere"]?.[0] ?? "",
    ];
    expect(said.filter((text) => !/\b1[\s\u00a0]%/.test(text))).toEqual([]);
    expect(said.filter((text) => /0[.,]5[\s\u00a0]%/.test(text))).toEqual([]);
  });
});

describe("drawings", () => {
  test("the car's front is to the right in every one of them, left of the car up", () => {
    for (const projection of ["plan on its side", "side"] as const) {
      expect(onPaper([1000, 0, 0], projection)[0]).toBe(1000);
    }
    expect(onPaper([0, 500, 0], "plan on its side")[1]).toBe(-500);
    const draft = blankDraft("t", { name: "a", kind: "board", facing: "rearward" });
    const { spots } = sceneOf(draft, draft.steps[0]);
    // The sheet's own drawing measures the distance from the axle to the right.
    expect(spots.find(({ kind }) => kind === "distance")?.x).toBeGreaterThan(94);
  });
});

describe("one thing is not said of another", () => {
  test("a caution about a bay photo is not shown at a sheet photo of the same name", () => {
    const photos = [{ name: "IMG_1.jpg", used: true, remarks: [{}] }];
    const result = { ...inventedResult, photos } as unknown as Parameters<typeof resultOfPhoto>[0];
    expect(resultOfPhoto(result, { name: "IMG_1.jpg", purpose: "boards" })).toBe(result?.photos[0]);
    for (const purpose of ["sheet", "target", "note"] as const) {
      expect(resultOfPhoto(result, { name: "IMG_1.jpg", purpose })).toBeUndefined();
    }
  });
});

test("a new sheet has a Spanish title in Spanish, and its step too", () => {
  const draft = blankDraft(es["sheet.blankTitle"], {
    name: "a",
    kind: "board",
    facing: "rearward",
  });
  expect(draft.title).toBe("Colocación nueva");
  expect(draft.steps[0].title).toBe("Colocación nueva");
});
