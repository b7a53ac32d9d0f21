import { expect, test } from "vitest";
import { inventedJob } from "../../../src/app/fixtures/invented-job.ts";
import { libraryFile, targetsOf, withTarget } from "../../../src/app/library/target-library.ts";
import { teachInput, teachingLacks, teachingOf } from "../../../src/app/library/teaching.ts";
import type { JobState } from "../../../src/app/state/job-state.ts";
import { lensKeyOf } from "../../../src/app/state/job-state.ts";
import { jobRecordSchema, type PhotoRecord } from "../../../src/app/store/database/schema.ts";
import { parseJobFile } from "../../../src/job/file/parse-job.ts";
import { teachFromPhotos } from "../../../src/job/teach/teach-target.ts";
import { targetLibrarySchema } from "../../../src/placement/target/target-library.ts";
import { allIds, knownLens, simulateTeaching, teachFile } from "../../tools/simulated-teaching.ts";

/** A job of the app whose photos of the target have been examined already. */
const stateWith = (ids: readonly number[], name: string): JobState => {
  const outcomes = simulateTeaching(ids);
  const photos = outcomes.map(
    (_, at): PhotoRecord => ({
      ...{ id: `p${at}`, jobId: "j", name: `t${at}.jpg`, purpose: "target", position: 1 },
      ...{ setup: 1, epoch: "before", about: "", addedAt: "2026-01-01", byteLength: 1 },
      ...{ fingerprint: `f${at}`, thumb: null, removed: false },
    }),
  );
  const record = inventedJob();
  record.boards.barHorizontal = { nominalMm: 190, readingMm: 190 };
  record.boards.barVertical = { nominalMm: 270, readingMm: 270 };
  record.camera = { source: "saved profile", profileId: "x" };
  record.teaching = { ...teachingOf(record), name, touchSdMm: 0.3, storedAt: "rack 2" };
  const camera = knownLens(outcomes);
  const state: Partial<JobState> = {
    record: jobRecordSchema.parse(record),
    photos,
    camera: null,
    profile: camera.profile,
    otherLenses: [],
    outcomes: new Map(
      photos.map(({ id }, at) => [
        id,
        {
          lensKey: lensKeyOf({ lens: camera.profile.lens }, outcomes[at]),
          outcome: outcomes[at],
        },
      ]),
    ),
  };
  return state as JobState;
};

test("from examined photos to a target of the library and of the job", () => {
  const state = stateWith(allIds, "camera board");
  expect(teachingLacks(state)).toBeNull();
  const between = (from: number, to: number) => ({
    ...{ id: `${from}`, from, to, lengthMm: 900, sdMm: 50, note: "" },
  });
  state.record.boards.lengths.push(between(31, 32), between(11, 12));
  const { teach, camera, outcomes, date } = teachInput(state, "2026-02-03T10:00:00Z")!;
  expect(teach.lengths.map(({ from }) => from)).toEqual([31]);
  const answer = teachFromPhotos(teach, camera, outcomes, date);
  if (!answer.ok) throw new Error(answer.remarks.map((remark) => remark.message).join("\n"));
  const [target] = answer.library.targets;
  expect(target).toMatchObject({ name: "camera board", storedAt: "rack 2" });
  expect(target.taught).toMatchObject({ how: "pointer board", on: "2026-02-03" });

  // The command line's function with the same facts gives the same offsets.
  const direct = teachFromPhotos(
    teachFile({ name: "camera board", lengths: teach.lengths }),
    camera,
    outcomes,
    date,
  );
  expect(direct.ok && direct.library.targets[0].boards).toEqual(target.boards);

  const file = targetLibrarySchema.parse(JSON.parse(libraryFile([{ id: "a", target }])));
  expect(file.targets[0].taught.proof?.photos.length).toBe(5);
  const used = withTarget(state.record, target);
  expect(targetsOf(used).map(({ name }) => name)).toContain("camera board");
  const targets = used.boards.statements.targets;
  const job = parseJobFile({
    ...{ format: "plumbshot-job", version: 1, title: "x", placement: "none", targets },
  });
  expect(job.ok || job.problems).toBe(true);
});

test("says what is missing, in the order in which it is done", () => {
  const state = stateWith(allIds, " ");
  expect(teachingLacks({ ...state, photos: state.photos.slice(0, 2) })).toBe("photos");
  expect(teachingLacks({ ...state, outcomes: new Map() })).toBe("examining");
  expect(teachingLacks(state)).toBe("name");
  const bare = { ...state.record, teaching: { ...teachingOf(state.record), standBoards: [] } };
  expect(teachingLacks({ ...state, record: bare })).toBe("stand");
  expect(teachInput({ ...state, record: bare }, "2026-01-01")).toBeNull();
});

test("a board that no photo shows is named, and can be photographed then", () => {
  const { teach, camera, outcomes, date } = teachInput(stateWith([31, 32, 41, 43], "b"), "2026")!;
  const answer = teachFromPhotos(teach, camera, outcomes, date);
  expect(answer.ok ? null : answer.remarks[0]).toMatchObject({
    code: "teach-board-missing",
    values: { boards: [42] },
  });
});
