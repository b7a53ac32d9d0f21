import { expect, test } from "vitest";
import type { CheckResult, Result } from "../../../src/job/result/result.ts";
import { firstPositionOnly, positionBrought } from "../../../src/job/solve/second-position.ts";
import { sampleJob, simulateSample } from "../../tools/simulated-job.ts";

const check = (id: string, measured: number, expandedUncertainty: number): CheckResult =>
  ({ id, label: id, unit: "mm", measured, expandedUncertainty }) as CheckResult;
const before = (...checks: CheckResult[]) => ({ ok: true, result: { checks } as Result }) as const;

test("the first position alone leaves out the photos of the others and nothing else", () => {
  const { photos } = simulateSample();
  const names = photos.map((photo) => (photo.ok ? photo.findings.name : photo.name));
  const input = { job: sampleJob(), camera: null, outcomes: photos, measuredAt: "2026-01-01" };
  expect(firstPositionOnly(input)).toBeNull();
  const positions = [
    { name: "A", kind: "rolled" as const, photos: names.slice(0, 5) },
    { name: "B", kind: "rolled" as const, photos: names.slice(5, 8) },
  ];
  const first = firstPositionOnly({ ...input, job: { ...input.job, positions } })!;
  expect(first.job.positions).toEqual([]);
  expect(first.outcomes).toEqual([...photos.slice(0, 5), ...photos.slice(8)]);
});

test("what it brought is said of the check that changed most, before and after", () => {
  const was = before(check("ahead", 2500, 3), check("left", 8, 10));
  const [remark] = positionBrought(was, [check("ahead", 2500.5, 2.8), check("left", 3, 2)]);
  expect(remark.about).toBe("left");
  expect(remark.values).toMatchObject({ was: 8, is: 3, unsure: 10, sure: 2, unit: "mm" });
  expect(remark.message).toContain("8.0 mm ± 10.0 mm");
  expect(positionBrought(null, [check("left", 3, 2)])).toEqual([]);
  expect(positionBrought({ ok: false, remarks: [] }, [check("left", 3, 2)])).toEqual([]);
});
