import { describe, expect, test } from "vitest";
import {
  boardOnlyPlacement,
  measuredBoards,
  trueBoards,
  truthSchema,
} from "../../../src/cli/demo-truth.ts";
import type { PhotoOutcome } from "../../../src/detect/findings/findings.ts";
import type { JobFile } from "../../../src/job/file/job-file.ts";
import type { Result } from "../../../src/job/result/result.ts";
import { learnCamera } from "../../../src/job/run/learn-camera.ts";
import type { CameraKnowledge, SolveInput } from "../../../src/job/run/run.ts";
import { solveJob } from "../../../src/job/solve/solve.ts";
import {
  otherPhone,
  sampleJob,
  samplePhone,
  sampleTruth,
  simulateSample,
} from "../../tools/simulated-job.ts";

const isFirst = (photo: number): boolean => photo % 2 === 0;
const { sheet, photos } = simulateSample({
  seed: 5,
  phoneOf: (photo) => (isFirst(photo) ? samplePhone : otherPhone),
});
const secondSheet = simulateSample({ seed: 6, sheetPhone: otherPhone }).sheet;

const learned = (outcomes: readonly PhotoOutcome[]): CameraKnowledge => {
  const answer = learnCamera(outcomes, "2026-01-01");
  if (!answer.ok) throw new Error(answer.remarks.map((r) => r.message).join("\n"));
  return answer.camera;
};
const first = learned(sheet);
const second = learned(secondSheet);

const solve = (input: Partial<SolveInput> = {}) =>
  solveJob({
    job: sampleJob(),
    camera: first,
    otherCameras: [second],
    outcomes: photos,
    measuredAt: "2026-01-01T00:00:00Z",
    ...input,
  });
const resultOf = (answer: ReturnType<typeof solve>): Result => {
  if (!answer.ok) throw new Error(answer.remarks.map((r) => r.message).join("\n"));
  return answer.result;
};
const nameOf = (photo: PhotoOutcome): string => (photo.ok ? photo.findings.name : photo.name);
const ofFirst = photos.filter((_, at) => isFirst(at)).map(nameOf);
const ofSecond = photos.filter((_, at) => !isFirst(at)).map(nameOf);

const withoutExif = (outcomes: readonly PhotoOutcome[], names: readonly string[]): PhotoOutcome[] =>
  outcomes.map((photo) =>
    photo.ok && names.includes(photo.findings.name)
      ? { ok: true, findings: { ...photo.findings, exif: null } }
      : photo,
  );
const leftOut = ({ remarks }: Result, code: string): string[] =>
  remarks.flatMap((remark) => (remark.code === code ? [remark.about!] : [])).sort();
const usedIn = ({ photos: all }: Result): string[] =>
  all.flatMap(({ name, used }) => (used ? [name] : []));
const stating = (phones: JobFile["phones"]): JobFile =>
  sampleJob((raw) => {
    raw.phones = phones;
  });

describe("two phones with a lens each on one job", () => {
  test("are solved together, each photo with its own phone's lens", () => {
    const result = resultOf(solve());
    expect(usedIn(result)).toHaveLength(photos.length);
    const exact = boardOnlyPlacement(trueBoards(truthSchema.parse(sampleTruth)));
    const measured = boardOnlyPlacement(measuredBoards(result));
    expect(Math.abs(measured.aheadMm - exact.aheadMm)).toBeLessThan(0.5);
    expect(Math.abs(measured.leftMm - exact.leftMm)).toBeLessThan(0.5);
    expect(Math.abs(measured.yawDeg - exact.yawDeg)).toBeLessThan(0.01);
    expect(result.network.varianceFactor).toBeGreaterThan(0.85);
    expect(result.network.varianceFactor).toBeLessThan(1.15);
  });

  test("agree with one phone that took all photos", () => {
    const both = resultOf(solve());
    const one = simulateSample({ seed: 5 });
    const alone = resultOf(
      solve({ camera: learned(one.sheet), otherCameras: [], outcomes: one.photos }),
    );
    for (const [i, check] of both.checks.entries()) {
      const other = alone.checks[i];
      expect(Math.abs(check.measured - other.measured), check.label).toBeLessThan(
        check.expandedUncertainty,
      );
      expect(check.standardUncertainty / other.standardUncertainty).toBeGreaterThan(0.7);
      expect(check.standardUncertainty / other.standardUncertainty).toBeLessThan(1.5);
    }
  });

  test("the result says whose photo is whose, and what each lens contributes", () => {
    const result = resultOf(solve());
    const whose = new Map(result.photos.map(({ name, phone }) => [name, phone]));
    expect(ofFirst.map((name) => whose.get(name))).toEqual(ofFirst.map(() => "Invented Bay One"));
    expect(ofSecond.map((name) => whose.get(name))).toEqual(ofSecond.map(() => "Invented Bay Two"));
    expect(result.camera).toMatchObject({ phone: "Invented Bay One", bayPhotos: ofFirst.length });
    expect(result.otherCameras).toMatchObject([
      { phone: "Invented Bay Two", bayPhotos: ofSecond.length, source: "sheet photos" },
    ]);
    for (const check of result.checks) {
      const lens = check.budget.find(({ source }) => source === "lens")?.share ?? 0;
      expect(check.lenses!.map(({ phone }) => phone).sort()).toEqual([
        "Invented Bay One",
        "Invented Bay Two",
      ]);
      const sum = check.lenses!.reduce((all, { share }) => all + share, 0);
      expect(sum, check.label).toBeCloseTo(lens, 9);
      expect(check.lenses!.every(({ share }) => share > 0)).toBe(true);
    }
  });

  test("the order of the phones changes nothing", () => {
    const a = resultOf(solve());
    const b = resultOf(solve({ camera: second, otherCameras: [first] }));
    for (const [i, check] of a.checks.entries())
      expect(Math.abs(check.measured - b.checks[i].measured), check.label).toBeLessThan(
        1e-3 * check.expandedUncertainty,
      );
  });

  test("one phone gives a result without a word of phones", () => {
    const one = simulateSample({ seed: 5 });
    const alone = resultOf(solve({ otherCameras: undefined, outcomes: one.photos }));
    expect(alone.otherCameras).toBeUndefined();
    expect(alone.checks.every(({ lenses }) => lenses === undefined)).toBe(true);
    expect(JSON.stringify(alone)).not.toContain("lensShares");
  });
});

describe("a photo whose lens is not known", () => {
  test("is left out by name where its phone has no profile", () => {
    const result = resultOf(solve({ otherCameras: undefined }));
    expect(leftOut(result, "photo-other-phone")).toEqual([...ofSecond].sort());
    expect(usedIn(result).sort()).toEqual([...ofFirst].sort());
  });

  test("is left out where the job states a phone that nobody has a lens of, whatever its EXIF says", () => {
    const [name] = ofFirst;
    const job = stating([{ name: "van phone", photos: [name] }]);
    const result = resultOf(solve({ job }));
    expect(leftOut(result, "photo-lens-unknown")).toEqual([name]);
    expect(result.remarks.find(({ code }) => code === "photo-lens-unknown")?.message).toContain(
      "van phone",
    );
  });

  test("is left out where nothing says which of two phones took it", () => {
    const names = [ofFirst[0], ofSecond[0]];
    const result = resultOf(
      solve({
        camera: { ...first, phone: "one" },
        otherCameras: [{ ...second, phone: "two" }],
        outcomes: withoutExif(photos, names),
      }),
    );
    expect(leftOut(result, "photo-phone-unclear")).toEqual([...names].sort());
    expect(usedIn(result)).toHaveLength(photos.length - 2);
  });

  test("counts again once the job states whose it is", () => {
    const names = [ofFirst[0], ofSecond[0]];
    const job = stating([
      { name: "one", photos: [names[0]] },
      { name: "two", photos: [names[1]] },
    ]);
    const result = resultOf(
      solve({
        job,
        camera: { ...first, phone: "one" },
        otherCameras: [{ ...second, phone: "two" }],
        outcomes: withoutExif(photos, names),
      }),
    );
    expect(usedIn(result)).toHaveLength(photos.length);
    const exact = boardOnlyPlacement(trueBoards(truthSchema.parse(sampleTruth)));
    const measured = boardOnlyPlacement(measuredBoards(result));
    expect(Math.abs(measured.aheadMm - exact.aheadMm)).toBeLessThan(0.5);
  });

  test("two phones of one model are told apart by what the job states", () => {
    const twin = (photo: PhotoOutcome): PhotoOutcome =>
      photo.ok ? { ok: true, findings: { ...photo.findings, exif: samplePhone.exif } } : photo;
    const twins = photos.map(twin);
    const secondTwin = learned(secondSheet.map(twin));
    const cameras = { camera: first, otherCameras: [{ ...secondTwin, phone: "device 2" }] };
    const stated = stating([{ name: "device 2", photos: ofSecond }]);
    const result = resultOf(solve({ ...cameras, job: stated, outcomes: twins }));
    expect(usedIn(result)).toHaveLength(photos.length);
    expect(result.otherCameras?.[0].phone).toBe("Invented Bay One (device 2)");
    const exact = boardOnlyPlacement(trueBoards(truthSchema.parse(sampleTruth)));
    expect(
      Math.abs(boardOnlyPlacement(measuredBoards(result)).aheadMm - exact.aheadMm),
    ).toBeLessThan(0.5);
  });
});

describe("the first phone without a camera step", () => {
  test("takes its lens from its own photos, never from the other's", () => {
    const result = resultOf(solve({ camera: null, otherCameras: [second] }));
    expect(result.camera.source).toBe("own photos");
    expect(result.camera.phone).toBe("Invented Bay One");
    expect(usedIn(result)).toHaveLength(photos.length);
    const { fx } = result.camera.lens;
    expect(Math.abs(fx - samplePhone.lens.fx)).toBeLessThan(
      3 * result.camera.standardUncertainty.fx,
    );
  });
});

describe("a lens that changed since its profile", () => {
  test("is said with its phone's name", () => {
    const { profile } = second;
    const dropped = {
      ...profile,
      lens: { ...profile.lens, fx: 1.03 * profile.lens.fx, fy: 1.03 * profile.lens.fy },
    };
    const result = resultOf(solve({ otherCameras: [{ ...second, profile: dropped }] }));
    const remark = result.remarks.find(({ code }) => code.startsWith("profile-disagrees"));
    expect(remark?.message).toMatch(/^Invented Bay Two: /);
    expect(result.outcome).toBe("not proven");
  });
});
