import { expect, test } from "vitest";
import { inventedJob } from "../../../src/app/fixtures/invented-job.ts";
import {
  libraryFile,
  targetsOf,
  toJobTarget,
  toLibrary,
} from "../../../src/app/library/target-library.ts";
import { targetLibrarySchema } from "../../../src/placement/target/target-library.ts";

const stated = {
  name: "camera board",
  widthMm: 600,
  boards: [{ board: 31, centreMm: [-450, 16, 13], shiftSdMm: 0.3, turnSdDeg: 0.02 }],
  feet: [{ name: "left foot", inTargetMm: [400, -1170, -50] }],
};

test("a job's target goes into the library file and comes back the same", () => {
  const job = inventedJob();
  job.boards.statements = { targets: [stated, { name: "without boards", boards: [] }] };
  const targets = targetsOf(job);
  expect(targets.length).toBe(1);
  const kept = toLibrary(targets[0], { kind: "board", storedAt: "rack 2" }, "2026-01-15");
  const file = targetLibrarySchema.parse(JSON.parse(libraryFile([{ id: "a", target: kept }])));
  expect(file.targets[0].storedAt).toBe("rack 2");
  expect(toJobTarget(file.targets[0])).toEqual(stated);
});
