import { describe, expect, test } from "vitest";
import { buildBay } from "../../../src/job/problem/build-problem.ts";
import { withPlainPhysics } from "../../../src/job/problem/plain-physics.ts";
import { learnCamera } from "../../../src/job/run/learn-camera.ts";
import { withRipple } from "../../tools/rippled-profile.ts";
import { sampleJob, simulateSample } from "../../tools/simulated-job.ts";

const { sheet, photos } = simulateSample();
const answer = learnCamera(sheet, "2026-01-01");
if (!answer.ok) throw new Error(answer.remarks.map(({ message }) => message).join("\n"));
const camera = { ...answer.camera, profile: withRipple(answer.camera.profile) };
const built = buildBay(sampleJob(), camera, photos);
if (!built.ok) throw new Error("the sample makes a problem");
const { problem } = built.bay;

describe("a problem without motion, stretch and the rest of the lens", () => {
  const before = JSON.stringify(problem);
  const plain = withPlainPhysics(problem);

  test("leaves out what it names", () => {
    expect(problem.cameras[0].motion).toBeDefined();
    expect(problem.cameras[0].modes).toBe(1);
    expect(problem.photos[0].readout).toBeDefined();
    for (const one of plain.cameras) {
      expect(one).not.toHaveProperty("motion");
      expect(one).not.toHaveProperty("modes");
    }
    for (const photo of plain.photos) expect(photo).not.toHaveProperty("readout");
    for (const seen of plain.observations) expect(seen).not.toHaveProperty("modes");
  });

  test("keeps everything else, and the problem it came from", () => {
    const { cameras, photos: _photos, prints, observations, ...rest } = plain;
    const { cameras: was, photos: _were, prints: printed, observations: seen, ...others } = problem;
    expect(rest).toEqual(others);
    expect(cameras.map(({ lens, free, focalSd }) => ({ lens, free, focalSd }))).toEqual(
      was.map(({ lens, free, focalSd }) => ({ lens, free, focalSd })),
    );
    expect(observations.map(({ pixels }) => pixels)).toEqual(seen.map(({ pixels }) => pixels));
    expect(prints.map(({ key }) => key)).toEqual(printed.map(({ key }) => key));
    expect(JSON.stringify(problem)).toBe(before);
  });

  test("one scale of a print is the mean of both, with the spread of that mean", () => {
    const print = {
      key: "A",
      scaleSd: 3e-4,
      width: 1.001,
      height: 0.998,
      widthSd: 6e-4,
      heightSd: 8e-4,
    };
    const { prints } = withPlainPhysics({
      ...problem,
      prints: [print, { key: "B", scaleSd: 2e-3 }],
    });
    const [one, bare] = prints;
    expect(one.width).toBeCloseTo(0.9995, 12);
    expect(one.height).toBe(one.width);
    // Independent errors of width and height: half of each goes into the mean.
    expect(one.scaleSd).toBeCloseTo(Math.sqrt(3e-4 ** 2 + 3e-4 ** 2 + 4e-4 ** 2), 15);
    expect(one).not.toHaveProperty("widthSd");
    expect(bare).toEqual({ key: "B", scaleSd: 2e-3, width: 1, height: 1 });
  });
});
