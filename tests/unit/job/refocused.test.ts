import { describe, expect, test } from "vitest";
import { type Adjusted, adjust } from "../../../src/adjust/adjust.ts";
import type { PhotoOutcome } from "../../../src/detect/findings/findings.ts";
import { buildBay, profileCameraKey } from "../../../src/job/problem/build-problem.ts";
import { learnCamera } from "../../../src/job/run/learn-camera.ts";
import type { CameraKnowledge } from "../../../src/job/run/run.ts";
import { refocused } from "../../../src/job/solve/refocused.ts";
import { displacementAt } from "../../../src/lens/remainder.ts";
import { withRipple } from "../../tools/rippled-profile.ts";
import { sampleJob, simulateSample } from "../../tools/simulated-job.ts";

const { sheet, photos } = simulateSample({ sigmaPx: 0.01 });
const learnt = learnCamera(sheet, "2026-01-01");
if (!learnt.ok) throw new Error(learnt.remarks.map(({ message }) => message).join("\n"));
const plain = learnt.camera;
const rippled: CameraKnowledge = { ...plain, profile: withRipple(plain.profile) };
const { lens, identity } = plain.profile;
const job = sampleJob();

/** Photos with all pixels changed. */
const changed = (change: (x: number, y: number) => readonly [number, number]): PhotoOutcome[] =>
  photos.map((photo) => {
    if (!photo.ok) return photo;
    const boards = photo.findings.boards.map((view) => {
      const pixels = view.pixels.slice();
      for (let i = 0; i < pixels.length; i += 2) pixels.set(change(pixels[i], pixels[i + 1]), i);
      return { ...view, pixels };
    });
    return { ...photo, findings: { ...photo.findings, boards } };
  });

/** A picture that is larger by `ratio` about the principal point, as one of a longer focal length. */
const enlarged = (x: number, y: number, ratio: number): [number, number] => [
  lens.cx + ratio * (x - lens.cx),
  lens.cy + ratio * (y - lens.cy),
];

/** The same through a lens that ripples: what it does belongs to the line of sight. */
const throughRipple = (x: number, y: number, ratio: number): [number, number] => {
  const [u, v] = enlarged(x, y, ratio);
  const { remainder } = rippled.profile;
  if (!remainder) throw new Error("no ripple");
  const { dx, dy } = displacementAt(remainder, identity, x, y);
  return [u + dx, v + dy];
};

const problemOf = (camera: CameraKnowledge, outcomes: readonly PhotoOutcome[]) => {
  const built = buildBay(job, camera, outcomes);
  if (!built.ok) throw new Error(built.remarks.map(({ message }) => message).join("\n"));
  return built.bay;
};
const tried = (camera: CameraKnowledge, outcomes: readonly PhotoOutcome[]) => {
  const bay = problemOf(camera, outcomes);
  const adjusted = adjust(bay.problem);
  if (!adjusted.ok) throw new Error(adjusted.remarks.map(({ message }) => message).join("\n"));
  const input = { job, camera, outcomes, measuredAt: "2026-01-01T00:00:00Z" };
  return { bay, adjusted, again: again(input, bay, adjusted) };
};
const again = (
  input: Parameters<typeof refocused>[0],
  bay: ReturnType<typeof problemOf>,
  adjusted: Adjusted,
) => {
  if (!input.camera) throw new Error("no camera");
  return refocused(input, input.camera, input.outcomes, { problem: bay.problem, bay, adjusted });
};

/** Focal length of the sample's photos, px: they are focused a little farther away than the sheet's. */
const bayFocal = tried(plain, photos).adjusted.state.lens(profileCameraKey).fx;

const withFocal = (camera: CameraKnowledge, focal: number): CameraKnowledge => {
  const [fx, fy] = [focal, (focal * lens.fy) / lens.fx];
  return { ...camera, profile: { ...camera.profile, lens: { ...lens, fx, fy } } };
};

describe("what a lens leaves, where the bay's focus puts it", () => {
  test("nothing is done without something left, nor for a focus as at the sheet", () => {
    const far = changed((x, y) => enlarged(x, y, 0.99));
    expect(tried(plain, far).again).toBeNull();
    const { bay, adjusted } = tried(
      rippled,
      changed((x, y) => throughRipple(x, y, 1)),
    );
    const { fx } = adjusted.state.lens(profileCameraKey);
    const [nearly, other] = [1.0004, 1.0006].map((ratio) => withFocal(rippled, fx / ratio));
    const input = { job, outcomes: photos, measuredAt: "2026-01-01T00:00:00Z" };
    expect(again({ ...input, camera: nearly }, bay, adjusted)).toBeNull();
    expect(again({ ...input, camera: other }, bay, adjusted)).not.toBeNull();
  });

  test("focused farther away, it is taken off along the lines of sight", () => {
    const ratio = 0.99;
    const {
      bay,
      adjusted,
      again: found,
    } = tried(
      rippled,
      changed((x, y) => throughRipple(x, y, ratio)),
    );
    if (!found?.outcome.ok) throw new Error("refocused must find a solution");
    expect(found.camera.focalRatio).toBeCloseTo((ratio * bayFocal) / lens.fx, 3);
    const truth = problemOf(
      plain,
      changed((x, y) => enlarged(x, y, ratio)),
    ).problem.observations;
    const misses = (observations: typeof truth): number =>
      Math.sqrt(
        observations.reduce(
          (sum, seen, k) =>
            sum +
            seen.pixels.reduce((s, x, i) => s + (x - truth[k].pixels[i]) ** 2, 0) /
              seen.pixels.length,
          0,
        ) / observations.length,
      );
    const before = misses(bay.problem.observations);
    const after = misses(found.problem.observations);
    expect(before).toBeGreaterThan(0.05);
    expect(after).toBeLessThan(0.2 * before);
    expect(found.bay.problem.observations).toBe(found.problem.observations);
    expect(found.outcome.sigma0Squared).toBeLessThan(adjusted.sigma0Squared);
  });
});
