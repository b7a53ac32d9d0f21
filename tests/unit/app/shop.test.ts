/** What belongs to the shop: plates, targets typed by rule, and what a new job takes over. */
import { describe, expect, test } from "vitest";
import { inventedJob } from "../../../src/app/fixtures/invented-job.ts";
import { giveBack, takeOver, wasTakenOver } from "../../../src/app/library/carry-over.ts";
import { platesOf, platesStated, withPlates } from "../../../src/app/library/plates.ts";
import {
  isTargetComplete,
  typedBoard,
  typedTargets,
  withTypedTarget,
} from "../../../src/app/library/typed-target.ts";
import { inputsDigest } from "../../../src/app/state/inputs.ts";
import { jobFileInput } from "../../../src/app/state/job-file.ts";
import type { JobState } from "../../../src/app/state/job-state.ts";
import { unreadRemarks, withoutUnread, withUnread } from "../../../src/app/state/unread.ts";
import { defaultSettings, jobRecordSchema } from "../../../src/app/store/database/schema.ts";
import { newJob } from "../../../src/app/store/new-job.ts";
import { parseJobFile } from "../../../src/job/file/parse-job.ts";
import { readingWays, sdOfReading, wayOfSd } from "../../../src/job/file/reading-ways.ts";

const fresh = () => newJob(defaultSettings, "2026-01-02T08:00:00Z");

describe("wheel plates", () => {
  test("nothing is stated until the offset is, and then every figure that is shown is written", () => {
    expect(platesStated(fresh())).toBe(false);
    const job = withPlates(fresh(), { standOffMm: 61 });
    expect(platesStated(job)).toBe(true);
    expect(job.boards.statements.wheelPlates).toEqual({
      ...{ standOffMm: 61, standOffSdMm: 0.5, centringSdMm: 1, tiltSdDeg: 0.2 },
    });
    expect(platesOf(withPlates(job, { standOffMm: null })).standOffMm).toBeNull();
  });

  test("a set's name goes into the job's file, and an empty one does not", () => {
    const job = withPlates(fresh(), { name: "steel plates", standOffMm: 61 });
    const parsed = parseJobFile({ ...(jobFileInput(job, []) as object), placement: "none" });
    expect(parsed.ok && parsed.job.wheelPlates.name).toBe("steel plates");
    expect(platesOf(withPlates(job, { standOffMm: 62 })).name).toBe("steel plates");
    const unnamed = withPlates(job, { name: " " });
    expect(jobFileInput(unnamed, [])).not.toHaveProperty("wheelPlates.name");
    expect(platesOf(unnamed).standOffMm).toBe(61);
  });
});

describe("a target typed by rule", () => {
  const empty = { name: "board", boards: [typedBoard(31)] };
  test("is refused until its three dimensions are there", () => {
    const begun = withTypedTarget(fresh(), "board", empty);
    expect(typedTargets(begun).map(isTargetComplete)).toEqual([false]);
    expect(parseJobFile({ ...(jobFileInput(begun, []) as object), placement: "none" }).ok).toBe(
      false,
    );
    const complete = {
      ...empty,
      boards: [{ ...empty.boards[0], centreMm: [-451, 16, 14] }],
    };
    const done = withTypedTarget(begun, "board", complete);
    expect(typedTargets(done).map(isTargetComplete)).toEqual([true]);
    expect(parseJobFile({ ...(jobFileInput(done, []) as object), placement: "none" }).ok).toBe(
      true,
    );
  });
});

describe("a new job of the same shop", () => {
  const bar = { id: "a", from: 51, to: 52, lengthMm: 2000, sdMm: 0.3, note: "" };
  const tape = { id: "b", from: 21, to: 15, lengthMm: 4630, sdMm: 1, note: "" };
  const old = fresh();
  const last = withTypedTarget(
    withPlates(
      {
        ...old,
        id: "last",
        boards: {
          ...old.boards,
          barHorizontal: { nominalMm: 190, readingMm: 190.2 },
          barVertical: { nominalMm: 270, readingMm: 270.4 },
          lengths: [bar, tape],
        },
        car: { ...old.car, description: "somebody's car", vin: "X" },
      },
      { standOffMm: 61 },
    ),
    "board",
    { name: "board", boards: [{ board: 31, centreMm: [1, 2, 3] }] },
  );

  test("takes over prints, bars, plates, target and lens, nothing of the car, and says so", () => {
    const job = takeOver(fresh(), last, ["other", "last"]);
    expect(jobRecordSchema.safeParse(job).success).toBe(true);
    expect(job.boards.barHorizontal.readingMm).toBe(190.2);
    expect(job.boards.lengths).toEqual([bar]);
    expect(platesOf(job).standOffMm).toBe(61);
    expect(typedTargets(job).length).toBe(1);
    expect(job.camera).toEqual({ source: "saved profile", profileId: "last" });
    expect(job.car).toEqual(old.car);
    expect(job.takenOver?.parts).toEqual(["prints", "lengths", "plates", "target", "lens"]);
  });

  test("what was not there is not taken over", () => {
    expect(takeOver(fresh(), undefined, ["p"]).takenOver).toBeUndefined();
    expect(takeOver(fresh(), old, []).takenOver?.parts).toEqual([]);
    expect(takeOver(fresh(), old, []).camera.source).toBe("sheet photos");
  });

  test("each part is given back on its own", () => {
    const job = takeOver(fresh(), last, ["last"]);
    const noPrints = giveBack(job, "prints");
    expect(wasTakenOver(noPrints, "prints")).toBe(false);
    expect(noPrints.boards.barVertical.readingMm).toBeNull();
    expect(platesOf(noPrints).standOffMm).toBe(61);
    expect(platesStated(giveBack(job, "plates"))).toBe(false);
    expect(typedTargets(giveBack(job, "target"))).toEqual([]);
    expect(giveBack(job, "lengths").boards.lengths).toEqual([]);
    expect(giveBack(job, "lens").camera.source).toBe("sheet photos");
  });
});

describe("an entry that cannot be read", () => {
  const job = inventedJob();
  const digest = (record: typeof job) =>
    inputsDigest(
      { record, photos: [], outcomes: new Map(), otherLenses: [] } as unknown as JobState,
      "1",
    );
  const unread = withUnread(job, "car.wheelbase", { label: "Wheelbase", text: "2,6 km" });

  test("makes every earlier verdict one of other entries, until it is mended", () => {
    expect(digest(unread)).not.toBe(digest(job));
    expect(digest(withUnread(unread, "car.wheelbase", null))).toBe(digest(job));
    expect(unreadRemarks(unread)).toMatchObject([
      { code: "entry-unread", values: { label: "Wheelbase", text: "2,6 km" } },
    ]);
  });

  test("goes with what it belongs to", () => {
    expect(withoutUnread(unread, "car").unread).toEqual({});
    expect(Object.keys(withoutUnread(unread, "car.wheel").unread ?? {})).toHaveLength(1);
  });
});

test("how a length was read gives its figure, and the figure its way", () => {
  for (const way of readingWays) {
    expect(sdOfReading(way, 1000)).toBeGreaterThan(0);
    expect(sdOfReading(way, 8000)).toBeGreaterThanOrEqual(sdOfReading(way, 1000));
  }
  expect(sdOfReading("laser meter", 4630)).toBe(1);
  expect(sdOfReading("tape held by two", 5000)).toBe(2);
  expect(wayOfSd({ a: 0.5, b: 1 }, 1)).toBe("b");
  expect(wayOfSd({ a: 0.5, b: 1 }, 0.7)).toBeNull();
});
