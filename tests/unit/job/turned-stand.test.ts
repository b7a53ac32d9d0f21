import { expect, test } from "vitest";
import { learnCamera } from "../../../src/job/run/learn-camera.ts";
import { solveJob } from "../../../src/job/solve/solve.ts";
import { sampleJob, simulateSample } from "../../tools/simulated-job.ts";

const { sheet, photos } = simulateSample({ seed: 52 });
const learned = learnCamera(sheet, "2026-01-01");
if (!learned.ok) throw new Error("the sample's sheet photos must give a lens");
const { camera } = learned;

const codesOf = (job: ReturnType<typeof sampleJob>): string[] => {
  const answer = solveJob({ job, camera, outcomes: photos, measuredAt: "2026-01-01T00:00:00Z" });
  if (!answer.ok) throw new Error(answer.remarks.map(({ message }) => message).join(" "));
  return answer.result.heldBack.map(({ code }) => code);
};

interface Taught {
  readonly turnDeg: { aboutZ: number };
}

test("a stand board fixed the other way up than taught is named, and nothing is proven", () => {
  const turned = sampleJob((raw) => {
    const [target] = raw.targets as { boards: Taught[] }[];
    target.boards[0].turnDeg.aboutZ += 180;
  });
  expect(codesOf(turned)).toContain("stand-board-turned");
  expect(codesOf(sampleJob(() => undefined))).toEqual([]);
});
