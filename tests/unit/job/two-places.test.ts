import { describe, expect, test } from "vitest";
import type { BoardView, PhotoOutcome } from "../../../src/detect/findings/findings.ts";
import { learnCamera } from "../../../src/job/run/learn-camera.ts";
import { solveJob } from "../../../src/job/solve/solve.ts";
import type { Vec3 } from "../../../src/maths/pose.ts";
import { sampleJob, simulateSample } from "../../tools/simulated-job.ts";

const plain = simulateSample({ seed: 31 });
const learned = learnCamera(plain.sheet, "2026-01-01");
if (!learned.ok) throw new Error("the sample's sheet photos must give a lens");
const { camera } = learned;

type Found = Extract<PhotoOutcome, { ok: true }>["findings"];
const findingsOf = (photo: PhotoOutcome): Found => {
  if (!photo.ok) throw new Error("simulated photos are readable");
  return photo.findings;
};

/** The photos with board `id` at a second place, in the photos chosen. */
const withSecondPrint = (
  id: number,
  by: Vec3,
  chosen: (findings: Found, second: BoardView | undefined) => boolean,
): { photos: PhotoOutcome[]; names: string[] } => {
  const elsewhere = simulateSample({ seed: 31, shifts: { [id]: by } }).photos.map(findingsOf);
  const names: string[] = [];
  const photos = plain.photos.map((photo, i): PhotoOutcome => {
    const findings = findingsOf(photo);
    const second = elsewhere[i].boards.find((view) => view.id === id);
    if (!second || !chosen(findings, second)) return photo;
    names.push(findings.name);
    const boards = [...findings.boards.filter((view) => view.id !== id), second];
    return { ok: true, findings: { ...findings, boards } };
  });
  return { photos, names };
};

const solve = (outcomes: readonly PhotoOutcome[]) =>
  solveJob({ job: sampleJob(), camera, outcomes, measuredAt: "2026-01-01T00:00:00Z" });

const numbersOf = (answer: ReturnType<typeof solve>): number[] => {
  if (!answer.ok) throw new Error(answer.remarks.map(({ message }) => message).join("\n"));
  return answer.result.checks.map(({ measured }) => measured);
};

describe("a second print of one number in the bay", () => {
  const clean = solve(plain.photos);
  // From beside the stand to behind the car: where photos of the front look away from.
  const far: Vec3 = [-5200, 0, 0];

  test.each([
    ["in photos that show the first print, too", 14, [0, 900, 0] as Vec3],
    ["in photos that look away from the first print", 21, far],
  ])("is named, %s, and the rest stays where it is", (_, id, by) => {
    let left = 2;
    const { photos, names } = withSecondPrint(
      id,
      by,
      (findings) => findings.boards.filter((view) => view.id !== id).length >= 3 && left-- > 0,
    );
    expect(names.length).toBeGreaterThan(0);
    const answer = solve(photos);
    if (!answer.ok) throw new Error(answer.remarks.map(({ message }) => message).join("\n"));
    const { remarks, heldBack } = answer.result;
    const named = remarks.filter(({ code }) => code === "board-two-places");
    expect(named.map(({ about }) => about)).toEqual([String(id)]);
    for (const name of names) expect(named[0].message).toContain(name);
    expect(heldBack.map(({ code }) => code)).toContain("board-two-places");
    const blamed = remarks.filter(
      ({ code, values }) => code === "does-not-fit" && values?.board !== String(id),
    );
    expect(blamed).toEqual([]);
    const before = numbersOf(clean);
    numbersOf(answer).forEach((value, i) => {
      expect(Math.abs(value - before[i])).toBeLessThan(0.3);
    });
  });
});
