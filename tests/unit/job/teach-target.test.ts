import { describe, expect, test } from "vitest";
import { teachFromPhotos } from "../../../src/job/teach/teach-target.ts";
import {
  compose,
  degrees,
  expRotation,
  invert,
  norm,
  type Pose,
  sub,
} from "../../../src/maths/pose.ts";
import { targetFromBoard } from "../../../src/placement/target/target.ts";
import {
  allIds,
  knownLens,
  pointing,
  simulateTeaching,
  standBoards,
  teachFile,
} from "../../tools/simulated-teaching.ts";

describe("teachFromPhotos", () => {
  test("finds where the target is against its stand boards", () => {
    const outcomes = simulateTeaching(allIds);
    const answer = teachFromPhotos(teachFile(), knownLens(outcomes), outcomes, "2026-01-01");
    if (!answer.ok) throw new Error(answer.remarks.map((r) => r.message).join("\n"));
    const [target] = answer.library.targets;
    expect(target.boards.map((taught) => taught.board)).toEqual(["31", "32"]);
    for (const taught of target.boards) {
      const exact = standBoards[Number(taught.board)];
      // The taught frame: x from the reference point to the right point, z out of the face.
      const frame: Pose = { R: expRotation([0, 0, Math.atan2(-150, 250)]), t: [0, 0, 0] };
      const expected = compose(invert(frame), exact);
      const found = targetFromBoard(taught);
      expect(norm(sub(found.t, expected.t))).toBeLessThan(3 * taught.shiftSdMm);
      expect(taught.shiftSdMm).toBeLessThan(1.5);
      const turn = compose(invert(expected), found);
      expect(degrees(Math.hypot(turn.R[5], turn.R[2], turn.R[1]))).toBeLessThan(
        3 * taught.turnSdDeg,
      );
    }
    const proof = target.taught.proof!;
    expect(proof.lens).toBe("saved profile");
    expect(proof.photos.map(({ boards }) => boards.length)).toEqual([5, 5, 5, 5, 5]);
    expect(proof.residualPx).toBeLessThan(0.06);
    expect(proof.residualPx).toBeGreaterThan(0.01);
  });

  test("refuses pointers near one line, and right mixed up with above", () => {
    const codeWith = (moved: Record<number, Pose>): string => {
      const outcomes = simulateTeaching(allIds, moved);
      const answer = teachFromPhotos(teachFile(), knownLens(outcomes), outcomes, "2026-01-01");
      return answer.ok ? "" : answer.remarks[0].code;
    };
    expect(codeWith({ 43: pointing([120, -60, 0], 1) })).toBe("teach-points-close");
    expect(codeWith({ 42: pointing([-40, 200, 0], 2.2), 43: pointing([250, -150, 0], -0.3) })).toBe(
      "teach-points-mixed",
    );
  });

  // Touched with 20 mm over 250 mm: the face may be turned by 6 degrees and more, as a standard
  // deviation. The library would not take it, and an exception is no answer.
  test("refuses a target that is hardly known", () => {
    const outcomes = simulateTeaching(allIds, { 43: pointing([0, 100, 0], -0.3) });
    const answer = teachFromPhotos(
      teachFile({ touchSdMm: 20 }),
      knownLens(outcomes),
      outcomes,
      "2026-01-01",
    );
    expect(answer.ok ? "" : answer.remarks[0].code).toBe("teach-too-unsure");
  });

  test("names the pointer that no photo shows", () => {
    const outcomes = simulateTeaching([31, 32, 41, 42]);
    const answer = teachFromPhotos(teachFile(), knownLens(outcomes), outcomes, "2026-01-01");
    expect(answer.ok).toBe(false);
    if (!answer.ok) expect(answer.remarks[0].message).toContain("board 43");
  });

  test("refuses one board in two roles, and no photos", () => {
    const outcomes = simulateTeaching(allIds);
    const twice = teachFile({ pointers: { reference: 41, right: 41, above: 43 } });
    const answer = teachFromPhotos(twice, knownLens(outcomes), outcomes, "2026-01-01");
    expect(answer.ok ? "" : answer.remarks[0].code).toBe("same-board");
    const none = teachFromPhotos(teachFile(), null, [], "2026-01-01");
    expect(none.ok ? "" : none.remarks[0].code).toBe("nothing-usable");
  });

  // A pointer is held by hand: what it does between two photos is the likeliest fault of all.
  test("names the pointer that was nudged between the photos", () => {
    const nudged = simulateTeaching(allIds, { 42: pointing([253, -148, 0], 2.22) });
    const outcomes = [...nudged.slice(0, 2), ...simulateTeaching(allIds).slice(2)];
    const answer = teachFromPhotos(teachFile(), knownLens(outcomes), outcomes, "2026-01-01");
    expect(answer.ok).toBe(true);
    expect(answer.remarks.map(({ values }) => String(values?.board))).toContain("42");
  });

  test("takes the photos' noise as large as they show it to be, and says so", () => {
    const outcomes = simulateTeaching(allIds).map((photo) =>
      photo.ok
        ? {
            ok: true as const,
            findings: {
              ...photo.findings,
              boards: photo.findings.boards.map((view) => ({
                ...view,
                noise: { kind: "isotropic" as const, sigmaPx: 0.01 },
              })),
            },
          }
        : photo,
    );
    const answer = teachFromPhotos(teachFile(), knownLens(outcomes), outcomes, "2026-01-01");
    if (!answer.ok) throw new Error(answer.remarks.map((r) => r.message).join("\n"));
    expect(answer.remarks.map((r) => r.code)).toContain("noise-widened");
    const proof = answer.library.targets[0].taught.proof!;
    expect(Math.abs(proof.varianceFactor - 1)).toBeLessThan(0.2);
  });

  test("has nothing to remark on photos that fit", () => {
    const outcomes = simulateTeaching(allIds);
    const answer = teachFromPhotos(teachFile(), knownLens(outcomes), outcomes, "2026-01-01");
    expect(answer.remarks).toEqual([]);
  });
});
