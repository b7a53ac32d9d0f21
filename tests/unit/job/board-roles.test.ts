import { describe, expect, test } from "vitest";
import { learnCamera } from "../../../src/job/run/learn-camera.ts";
import { solveJob } from "../../../src/job/solve/solve.ts";
import { sampleJob, simulateSample } from "../../tools/simulated-job.ts";

const { sheet, photos } = simulateSample({ seed: 51 });
const learned = learnCamera(sheet, "2026-01-01");
if (!learned.ok) throw new Error("the sample's sheet photos must give a lens");
const { camera } = learned;
const measuredAt = "2026-01-01T00:00:00Z";

/** The sample with floor board 13 of the kit on the front left wheel, as nobody photographed it. */
const withRole = sampleJob((raw) => {
  raw.wheelPlates = { ...(raw.wheelPlates as object), frontLeft: 13 };
});

describe("a board that the job gives another role than the kit", () => {
  test("is called by the job's role, in values for other languages too", () => {
    const after = photos.map((photo) =>
      photo.ok
        ? {
            ok: true as const,
            findings: {
              ...photo.findings,
              boards: photo.findings.boards.filter(({ id }) => id !== 15),
            },
          }
        : photo,
    );
    const lengths = [{ from: 13, to: 15, lengthMm: 4000, sdMm: 1 }];
    const job = { ...withRole, lengths };
    const answer = solveJob({ job, camera, outcomes: after, measuredAt });
    const { remarks } = answer.ok ? answer.result : answer;
    const said = remarks.map(({ message }) => message).join("\n");
    expect(said).not.toContain("board 13 (floor point 3)");
    expect(remarks.length).toBeGreaterThan(0);
  });
});

describe("boards of another size than the print check was read on", () => {
  const job = sampleJob((raw) => {
    const boards = raw.boards as { exceptions?: unknown[] };
    boards.exceptions = [31, 32].map((id) => ({ id, cellMm: 13.000001 }));
  });

  test("count as unchecked, and the result says so", () => {
    const answer = solveJob({ job, camera, outcomes: photos, measuredAt });
    if (!answer.ok) throw new Error(answer.remarks.map(({ message }) => message).join("\n"));
    const told = answer.result.remarks.find(({ code }) => code === "print-check-elsewhere");
    expect(told?.message).toContain("board 31, 32 of another size");
    // The others keep what the ruler said: 0.13 % more than designed.
    const cell = (id: number) => answer.result.boards.find((board) => board.id === id)!.cellMm;
    expect(cell(11) / 13).toBeGreaterThan(1.0008);
  });
});
