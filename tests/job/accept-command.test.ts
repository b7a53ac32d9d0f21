/**
 * `npm run accept` from rendered photos to the certificate: a simulated shop's photos (tests/tools/phone)
 * at half the width are written as files, read, searched and worked out by the command itself.
 */
import { spawnSync } from "node:child_process";
import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import {
  type AcceptanceResult,
  acceptanceResultSchema,
} from "../../src/acceptance/result/result.ts";
import { shopPicture, withSmallerPhotos } from "../bench/accept/pixels.ts";
import { drawShop } from "../bench/accept/shop.ts";
import { writeTiff } from "../tools/exif-writer.ts";
import { greyPng } from "../tools/quick-photo.ts";

const photosOfRound = 9;
const sheetPhotos = 10;
const shop = withSmallerPhotos(drawShop(4, "none", photosOfRound), 0.5);
const rounds = shop.rounds.slice(0, 2);
const folder = mkdtempSync(join(tmpdir(), "plumbshot-accept-"));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const write = (part: string, round: number, what: "boards" | "sheet", count: number): void => {
  mkdirSync(join(folder, part), { recursive: true });
  for (let i = 0; i < count; i++) {
    const { photo } = shopPicture(shop, round, what, i);
    const taken = `2026:01:02 0${3 + round}:0${what === "sheet" ? 1 : 2}:${10 + i}`;
    const tiff = writeTiff(
      { 271: "Invented", 272: "Phone", 305: "7.1" },
      { 36867: taken, 41989: 26, 37386: [5600, 1000] },
      true,
    );
    const file = join(folder, part, `p${String(i).padStart(2, "0")}.png`);
    writeFileSync(file, greyPng(photo.width, photo.height, photo.data, tiff));
  }
};

const accept = (...args: string[]) => {
  const run = spawnSync("npx", ["tsx", "src/cli/accept.ts", folder, ...args], { encoding: "utf8" });
  return { status: run.status, out: run.stdout, error: run.stderr };
};
const writeFile = (change: Record<string, unknown> = {}): void => {
  const stated = (shop.file.rounds as object[]).slice(0, 2);
  const file = {
    ...shop.file,
    plates: "steel plates",
    rounds: stated.map((round, i) => ({ ...round, photos: `round-${i + 1}`, camera: "camera" })),
    ...change,
  };
  writeFileSync(join(folder, "acceptance.json"), JSON.stringify(file));
};

let result: AcceptanceResult;
beforeAll(() => {
  write("camera", 0, "sheet", sheetPhotos);
  for (const at of rounds.keys()) write(`round-${at + 1}`, at, "boards", photosOfRound);
  writeFile();
  const { status, out, error } = accept(
    ...["--json", "--out", join(folder, "certificate.pdf"), "--note", join(folder, "note.json")],
  );
  expect(error).toBe("");
  expect(status).toBe(0);
  result = acceptanceResultSchema.parse(JSON.parse(out));
}, 400_000);

describe("the acceptance command on photos", () => {
  test("passes, and no length is off by more than its interval says", () => {
    expect(result.outcome).toBe("pass");
    expect(result.lengths.length).toBeGreaterThanOrEqual(12);
    const errors = result.lengths.flatMap(({ from, to, errors: ofLength }) =>
      ofLength.map(({ measuredMm, statedExpandedMm }) => {
        const error = measuredMm - shop.trueLength(from, to);
        return { error, over: Math.abs(error) / statedExpandedMm };
      }),
    );
    const worst = Math.max(...errors.map(({ error }) => Math.abs(error)));
    expect(worst).toBeLessThan(0.5);
    expect(errors.filter(({ over }) => over > 1.5)).toEqual([]);
  });

  test("writes a certificate and the note that jobs carry", () => {
    const pdf = readFileSync(join(folder, "certificate.pdf"));
    expect(pdf.subarray(0, 5).toString()).toBe("%PDF-");
    const note = JSON.parse(readFileSync(join(folder, "note.json"), "utf8"));
    expect(note).toMatchObject({
      outcome: "pass",
      plates: "steel plates",
      phones: [{ make: "Invented", model: "Phone", system: ["7.1"] }],
    });
  });

  test("refuses a round without photos with a sentence", () => {
    writeFile({ rounds: [{ name: "lost", photos: "nowhere", camera: "camera" }] });
    const { status, out, error } = accept();
    expect(status).toBe(2);
    expect(out).toBe("");
    expect(error).toMatch(/holds no photos for "lost"/);
  }, 120_000);
});
