import { describe, expect, test } from "vitest";
import { parseRoute } from "../../../src/app/context/routes.ts";
import { inventedJob, inventedResult } from "../../../src/app/fixtures/invented-job.ts";
import { compareReading } from "../../../src/app/screens/placement/readings.ts";
import { jobFileInput, photoPlaceIn, recordWithJobFile } from "../../../src/app/state/job-file.ts";
import { kindOfFile, refuse } from "../../../src/app/state/photo/photo-intake.ts";
import { readJobRecord } from "../../../src/app/store/database/migrate.ts";
import { resultSchema } from "../../../src/job/result/result.ts";

describe("stored jobs", () => {
  test("a present record is read unchanged", () => {
    const job = inventedJob();
    expect(readJobRecord(structuredClone(job))).toEqual({ ok: true, record: job, changed: false });
  });

  test("a record of the first layout is brought up to date", () => {
    const job = inventedJob();
    const { readings: _readings, ...placement } = job.placement;
    const { setups: _setups, positionKind: _positionKind, ...photos } = job.photos;
    const { backedUpAt: _backedUpAt, ...rest } = job;
    const old = { ...rest, version: 1, placement, photos };
    const outcome = readJobRecord(old);
    expect(outcome).toEqual({ ok: true, record: job, changed: true });
  });

  test.each([
    ["a newer version", { ...inventedJob(), version: 99 }, "newer version"],
    ["a damaged record", { ...inventedJob(), car: 7 }, "not readable"],
    ["no record", null, "not readable"],
  ])("%s is refused with its reason", (_name, raw, reason) => {
    const outcome = readJobRecord(raw);
    expect(outcome.ok).toBe(false);
    expect(outcome).toMatchObject({ reason });
  });

  test("the fixture is a result document", () => {
    expect(resultSchema.safeParse(inventedResult).success).toBe(true);
  });
});

describe("job.json", () => {
  test("what comes in goes out again, fields without a screen included", () => {
    const file = {
      format: "plumbshot-job",
      version: 1,
      title: "Invented",
      invented: true,
      boards: {
        cellMm: 13,
        flatnessMm: 0.3,
        printCheck: {
          horizontal: { nominalMm: 190, readingMm: 190.2 },
          vertical: { nominalMm: 270, readingMm: 270.3 },
          readingSdMm: 0.1,
        },
      },
      lengths: [{ from: 21, to: 15, lengthMm: 4630, sdMm: 1, note: "laser" }],
      wheelPlates: { standOffMm: 168 },
      placement: { title: "sheet" },
      step: "second",
    };
    const record = recordWithJobFile(inventedJob(), file);
    expect(jobFileInput(record, [])).toEqual(file);
  });
});

describe("files", () => {
  const bytes = (...values: number[]) => Uint8Array.from([...values, ...new Array(16).fill(0)]);
  const text = (value: string) => Uint8Array.from(value, (c) => c.charCodeAt(0));

  test("kinds are told from the first bytes", () => {
    expect(kindOfFile(bytes(0xff, 0xd8, 0xff))).toBe("jpeg");
    expect(kindOfFile(text("\x89PNG\r\n\x1a\n\0\0\0\rIHDR"))).toBe("png");
    expect(kindOfFile(text("\0\0\0\x18ftypheic\0\0\0\0"))).toBe("heic");
    expect(kindOfFile(text("\0\0\0\x18ftypmp42\0\0\0\0"))).toBe("video");
    expect(kindOfFile(text("hello, not a photo"))).toBe("unknown");
  });

  test("the same photo twice, a video and an empty file are refused", () => {
    const jpeg = bytes(0xff, 0xd8, 0xff);
    const file = { name: "a.jpg", size: 10 };
    const present = new Set(["f"]);
    expect(refuse(file, jpeg, "f", present)?.code).toBe("same photo twice");
    expect(refuse(file, jpeg, "g", present)).toBeNull();
    expect(refuse({ ...file, size: 0 }, jpeg, "g", new Set())?.code).toBe("empty");
    expect(refuse(file, text("\0\0\0\x18ftypqt  \0\0\0\0"), "g", new Set())?.code).toBe("video");
  });
});

describe("addresses", () => {
  test("known places are found, unknown ones lead to the jobs", () => {
    expect(parseRoute("#/job/ab/photos/cd")).toEqual({
      page: "stage",
      id: "ab",
      stage: "photos",
      detail: "cd",
    });
    expect(parseRoute("#/job/ab")).toEqual({ page: "job", id: "ab" });
    expect(parseRoute("#/nonsense")).toEqual({ page: "jobs" });
    expect(parseRoute("")).toEqual({ page: "jobs" });
  });
});

describe("cross-check", () => {
  // En = (x - X) / sqrt(U_x^2 + U_X^2), ISO/IEC 17043 annex B; 10.003 +- 0.004 against
  // 10.000 +- 0.002 gives 0.6708 by hand.
  test("En number", () => {
    const check = { measured: 10.003, expandedUncertainty: 0.004, unit: "mm" as const };
    const reading = { value: 10, expandedUncertainty: 0.002, how: " " };
    const found = compareReading(reading, check, "the reading");
    expect(Math.abs(found!.en - 0.6708)).toBeLessThan(5e-5);
    expect(found!.sentence).toContain("Agrees with the reading");
    expect(compareReading({ ...reading, expandedUncertainty: null }, check, "")).toBeNull();
  });
});

describe("photos in job.json", () => {
  const place = { purpose: "boards", removed: false, epoch: "before", position: 1, setup: 1 };
  const photos = [
    { ...place, name: "a.jpg" },
    { ...place, name: "b.jpg", position: 2 },
    { ...place, name: "c.jpg", setup: 2 },
    { ...place, name: "d.jpg", epoch: "after" },
    { ...place, name: "gone.jpg", removed: true },
    { ...place, name: "sheet.jpg", purpose: "sheet" },
  ] as never;

  test("positions, stand set-ups and photos after the run are named, and read back", () => {
    const file = jobFileInput(inventedJob(), photos) as Record<string, unknown>;
    expect(file.positions).toEqual([
      { name: "Position 1", kind: "rolled", photos: ["a.jpg", "c.jpg"] },
      { name: "Position 2", kind: "rolled", photos: ["b.jpg"] },
    ]);
    expect(file.standMoves).toEqual([{ name: "Set-up 2", photos: ["c.jpg"] }]);
    expect(file.after).toEqual({ photos: ["d.jpg"] });
    expect(photoPlaceIn(file, "b.jpg")).toEqual({ position: 2, setup: 1, epoch: "before" });
    expect(photoPlaceIn(file, "c.jpg")).toEqual({ position: 1, setup: 2, epoch: "before" });
    expect(photoPlaceIn(file, "d.jpg")).toEqual({ position: 1, setup: 1, epoch: "after" });
  });
});

describe("a probability", () => {
  test("never claims certainty", async () => {
    const { formatProbability } = await import("../../../src/app/i18n/units.ts");
    expect(formatProbability(1, "en")).toBe(">\u00a099.9\u00a0%");
    expect(formatProbability(0, "en")).toBe("<\u00a00.1\u00a0%");
    expect(formatProbability(0.934, "en")).toBe("93.4\u00a0%");
  });
});
