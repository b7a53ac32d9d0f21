import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { parseJobFile } from "../../../src/job/file/parse-job.ts";

const demo = "sample-images/demo-job";
const readJson = (file: string) => JSON.parse(readFileSync(file, "utf8"));
const sample = () => ({
  ...readJson(`${demo}/job.json`),
  placement: readJson(`${demo}/placement.json`),
});

const problemsOf = (change: (job: ReturnType<typeof sample>) => void): string => {
  const job = sample();
  change(job);
  const parsed = parseJobFile(job);
  return parsed.ok ? "" : parsed.problems.join("\n");
};

describe("parseJobFile", () => {
  test("reads the sample job", () => {
    const parsed = parseJobFile(sample());
    expect(parsed.ok ? parsed.job.targets.length : parsed.problems).toBe(1);
  });

  test("fills honest defaults", () => {
    const parsed = parseJobFile({
      format: "plumbshot-job",
      version: 1,
      title: "bare",
      placement: "p.json",
    });
    if (!parsed.ok) throw new Error(parsed.problems.join());
    expect(parsed.job.wheelPlates.centringSdMm).toBe(1);
    expect(parsed.job.wheelPlates.tiltSdDeg).toBe(0.2);
    expect(parsed.job.levels).toEqual({ meets: 0.95, misses: 0.05 });
  });

  test("names a field with a typo and suggests the right one", () => {
    const problems = problemsOf((job) => {
      job.wheelPlates.standofMm = 168;
    });
    expect(problems).toContain("wheelPlates");
    expect(problems).toContain('"standofMm"');
    expect(problems).toContain('Did you mean "standOffMm"?');
  });

  test("suggests fields of every part, the newest too", () => {
    expect(problemsOf((job) => (job.levels = { guardBandFacter: 2 }))).toContain(
      'Did you mean "guardBandFactor"?',
    );
    expect(problemsOf((job) => (job.placement.steps[0].checks[0].refrence = ""))).toContain(
      'Did you mean "reference"?',
    );
  });

  test.each<[string, (job: ReturnType<typeof sample>) => void, string]>([
    ["a negative spread", (job) => (job.lengths[0].sdMm = -1), "lengths[0].sdMm"],
    ["zero spread", (job) => (job.lengths[0].sdMm = 0), "lengths[0].sdMm"],
    ["an absurd length", (job) => (job.lengths[0].lengthMm = 4.63), "lengths[0].lengthMm"],
    ["text for a number", (job) => (job.boards.cellMm = "13"), "boards.cellMm"],
    ["a board id that no tag has", (job) => (job.lengths[0].from = 900), "lengths[0].from"],
    ["a length from a board to itself", (job) => (job.lengths[0].to = 21), "lengths[0]"],
    ["one board on two wheels", (job) => (job.wheelPlates.rearLeft = 1), "two wheels"],
    ["a wheel plate on the stand", (job) => (job.targets[0].boards[0].board = 1), "targets[0]"],
    ["a board listed twice", (job) => (job.targets[0].boards[1].board = 31), "listed twice"],
    ["levels the wrong way round", (job) => (job.levels = { meets: 0.5, misses: 0.5 }), "levels"],
    [
      "a centreline through a point that is not there",
      (job) => (job.centreline = { front: "nose", rear: "tail" }),
      "centreline.front",
    ],
    [
      "two plumb points of one name",
      (job) => (job.plumbPoints = [21, 22].map((board) => ({ name: "nose", board }))),
      "plumbPoints[1]",
    ],
    [
      "two targets of one name",
      (job) => job.targets.push(structuredClone(job.targets[0])),
      "targets[1]",
    ],
    [
      "two car positions of one name",
      (job) => (job.positions = ["a.jpg", "b.jpg"].map((file) => ({ name: "A", photos: [file] }))),
      "positions[1]",
    ],
    [
      "a photo in two car positions",
      (job) =>
        (job.positions = ["A", "B"].map((name) => ({ name, photos: [`${name}.jpg`, "x.jpg"] }))),
      "positions[1]",
    ],
    [
      "a photo in two set-ups of the stand",
      (job) => (job.standMoves = ["A", "B"].map((name) => ({ name, photos: ["x.jpg"] }))),
      "standMoves[1]",
    ],
    [
      "one board with two exceptions",
      (job) => (job.boards.exceptions = [{ id: 21, ignore: true }, { id: 21 }]),
      "boards.exceptions[1]",
    ],
    ["a placement without steps", (job) => (job.placement.steps = []), "placement.steps"],
    [
      "a newer version",
      (job) => (job.version = 2),
      "version: this program reads version 1 of the job file, found 2.",
    ],
  ])("refuses %s and says where", (_what, change, where) => {
    expect(problemsOf(change)).toContain(where);
  });

  test("answers any JSON value with sentences, never an exception", () => {
    for (const value of [null, 3, "job", [], {}, { format: "other" }]) {
      const parsed = parseJobFile(value);
      expect(parsed.ok).toBe(false);
      if (!parsed.ok) expect(parsed.problems.length).toBeGreaterThan(0);
    }
  });
});
