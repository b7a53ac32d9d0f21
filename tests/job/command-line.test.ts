import { spawnSync } from "node:child_process";
import { cpSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, describe, expect, test } from "vitest";
import { resultSchema } from "../../src/job/result/result.ts";

/** The command line as a person or a script meets it: exit status, standard output and error. */
const sample = "sample-images/demo-job";
const scratch = mkdtempSync(join(tmpdir(), "plumbshot-"));
afterAll(() => rmSync(scratch, { recursive: true, force: true }));

const measure = (...args: string[]) => {
  const run = spawnSync("npx", ["tsx", "src/cli/measure.ts", ...args], { encoding: "utf8" });
  return { status: run.status, out: run.stdout, error: run.stderr };
};

let made = 0;
const folder = (change: (path: string) => void): string => {
  const path = join(scratch, `job-${++made}`);
  mkdirSync(join(path, "photos"), { recursive: true });
  for (const name of ["job.json", "placement.json"]) cpSync(join(sample, name), join(path, name));
  change(path);
  return path;
};

const edit = (path: string, change: (text: string) => string): void => {
  const file = join(path, "job.json");
  writeFileSync(file, change(readFileSync(file, "utf8")));
};

describe("measure refuses with status 2 and a sentence", () => {
  test.each<[string, () => string[], RegExp]>([
    ["no argument", () => [], /^Name one job folder\.\nUsage/],
    ["two folders", () => ["a", "b"], /^Name one job folder; these are 2: a, b\.\nUsage/],
    ["an unknown option", () => [sample, "--fast"], /^Unknown option '--fast'\.\nUsage/],
    ["a folder that is not there", () => [join(scratch, "nowhere")], /is not a folder/],
    [
      "no job.json",
      () => [folder((path) => rmSync(join(path, "job.json")))],
      /job\.json is missing\. A job folder holds job\.json, photos\/ and camera\/\./,
    ],
    [
      "a job of a newer version",
      () => [folder((path) => edit(path, (text) => text.replace('"version": 1', '"version": 7')))],
      /written by a newer Plumbshot \(version 7 .* reads version 1\)\. Bring/,
    ],
    [
      "a placement sheet of a newer version",
      () => [
        folder((path) => {
          const file = join(path, "placement.json");
          const sheet = JSON.parse(readFileSync(file, "utf8"));
          writeFileSync(file, JSON.stringify({ ...sheet, version: 7 }));
        }),
      ],
      /placement\.json was written by a newer Plumbshot/,
    ],
    [
      "a file of another kind",
      () => [folder((path) => edit(path, (text) => text.replace("plumbshot-job", "other")))],
      /another kind of file: "format" must be "plumbshot-job", and it is "other"/,
    ],
    [
      "broken JSON",
      () => [folder((path) => edit(path, (text) => text.slice(0, -20)))],
      /job\.json is not valid JSON/,
    ],
    [
      "a typo in a field",
      () => [folder((path) => edit(path, (text) => text.replace("standOffMm", "standofMm")))],
      /wheelPlates: no field is called "standofMm"\. Did you mean "standOffMm"/,
    ],
    [
      "a placement sheet that is not there",
      () => [folder((path) => rmSync(join(path, "placement.json")))],
      /placement\.json is missing/,
    ],
    [
      "a target library that is none",
      () => [
        folder((path) => {
          const job = JSON.parse(readFileSync(join(path, "job.json"), "utf8"));
          writeFileSync(join(path, "job.json"), JSON.stringify({ ...job, targets: "t.json" }));
          writeFileSync(join(path, "t.json"), JSON.stringify({ format: "plumbshot-targets" }));
        }),
      ],
      /t\.json is not a target library: version/,
    ],
    [
      "no folder photos",
      () => [folder((path) => rmSync(join(path, "photos"), { recursive: true }))],
      /no folder photos/,
    ],
    ["an empty folder photos", () => [folder(() => undefined)], /no photo in this job/],
  ])("%s", (_what, args, sentence) => {
    const run = measure(...args());
    expect(run.error).toMatch(sentence);
    expect(run.status).toBe(2);
    expect(run.out).toBe("");
  });
});

/** The sample's target moved from job.json into a target library beside it. */
const useLibrary = (path: string): void => {
  const job = JSON.parse(readFileSync(join(path, "job.json"), "utf8"));
  const targets = job.targets.map(
    (target: { boards: { board: number; centreMm: number[] }[] } & Record<string, unknown>) => ({
      ...target,
      kind: "board",
      boards: target.boards.map(({ board, centreMm, ...taught }) => ({
        ...taught,
        board: String(board),
        centreInTargetMm: centreMm,
      })),
      taught: { how: "typed offsets", on: "2026-01-01" },
    }),
  );
  const library = { format: "plumbshot-targets", version: 1, targets };
  writeFileSync(join(path, "targets.json"), JSON.stringify(library));
  writeFileSync(join(path, "job.json"), JSON.stringify({ ...job, targets: "targets.json" }));
};

describe("measure on photos", () => {
  test("prints one document that follows the schema, and status 1 where a check misses", () => {
    const run = measure(sample, "--json");
    expect(run.error).toBe("");
    expect(run.status).toBe(1);
    const result = resultSchema.parse(JSON.parse(run.out));
    expect(result.checks.length).toBe(6);
  });

  test("files that are no photos, cut short or without a board are named; the rest goes on", () => {
    const path = folder((job) => {
      useLibrary(job);
      cpSync(join(sample, "camera"), join(job, "camera"), { recursive: true });
      cpSync(join(sample, "photos"), join(job, "photos"), { recursive: true });
      const photo = readFileSync(join(sample, "photos/bay-01.jpg"));
      writeFileSync(join(job, "photos/cut.jpg"), photo.subarray(0, photo.length / 3));
      writeFileSync(join(job, "photos/words.jpg"), "this is not a photo");
      cpSync(join(sample, "camera/sheet-01.jpg"), join(job, "photos/sheet.jpg"));
    });
    const run = measure(path, "--json");
    expect(run.status).toBe(1);
    const { remarks, photos } = resultSchema.parse(JSON.parse(run.out));
    for (const name of ["cut.jpg", "words.jpg", "sheet.jpg"]) {
      expect(photos.find((photo) => photo.name === name)?.used, name).toBe(false);
      expect(
        remarks.some((remark) => remark.message.includes(name)),
        name,
      ).toBe(true);
    }
    expect(photos.filter((photo) => photo.used).length).toBeGreaterThanOrEqual(12);
  });
});
