import { expect, test } from "vitest";
import type { PhotoOutcome } from "../../../src/detect/findings/findings.ts";
import { buildBay } from "../../../src/job/problem/build-problem.ts";
import { learnCamera } from "../../../src/job/run/learn-camera.ts";
import { sampleJob, simulateSample } from "../../tools/simulated-job.ts";

const { sheet, photos } = simulateSample();
const learned = learnCamera(sheet, "2026-01-01");
if (!learned.ok) throw new Error("the sample's sheet photos must give a lens");
const { camera } = learned;

const ofSize = (photo: PhotoOutcome, width: number, height: number): PhotoOutcome =>
  photo.ok ? { ok: true, findings: { ...photo.findings, width, height } } : photo;

test("copies of nearly the same size get a lens each", () => {
  const copies = [ofSize(photos[0], 1600, 1200), ofSize(photos[1], 1602, 1202)];
  const built = buildBay(sampleJob(), camera, copies);
  if (!built.ok) throw new Error(built.remarks.map(({ message }) => message).join("\n"));
  const { cameras, photos: stated } = built.bay.problem;
  const focals = stated.map(({ camera: key }) => cameras.find((c) => c.key === key)!.lens.fx);
  const { lens, identity } = camera.profile;
  [1600, 1602].forEach((width, i) => {
    const expected = (lens.fx * width) / identity.width;
    expect(Math.abs(focals[i] / expected - 1), `${width} px`).toBeLessThan(1e-12);
  });
});
