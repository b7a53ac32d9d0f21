/** What the closed records of a shop say together, over time. */
import { describe, expect, test } from "vitest";
import {
  accuracyOverTime,
  checkStatistics,
  printsOverTime,
} from "../../../src/app/record/recall.ts";
import {
  type RevisionEntry,
  revisionEntrySchema,
} from "../../../src/app/store/database/revision-entry.ts";

const entry = (
  jobId: string,
  number: number,
  day: string,
  verdict: string,
  sure: number,
  scale: number | null,
): RevisionEntry =>
  revisionEntrySchema.parse({
    version: 1,
    sha256: `${jobId}${number}`.padEnd(64, "0"),
    jobId,
    number,
    sequence: 1,
    closedAt: `${day}T10:00:00Z`,
    ...{ title: "", plate: "", vin: "", vehicle: "", customer: "", technician: "", sheet: "" },
    printScales: scale === null ? null : { horizontal: scale, vertical: scale + 0.001 },
    outcome: verdict === "meets" ? "all meet" : "some miss",
    checks: [{ id: "d", label: "Distance", unit: "mm", expandedUncertainty: sure, verdict }],
    ...{ stateKey: "", photos: [], attachments: [] },
  });

const entries = [
  entry("b", 1, "2026-03-02", "meets", 2, 0.998),
  entry("a", 1, "2026-01-05", "misses", 6, 1.002),
  entry("a", 2, "2026-01-06", "meets", 4, 1.001),
  entry("c", 1, "2026-02-01", "not proven", 8, null),
];

describe("statistics of the shop", () => {
  test("the last revision of each record counts, in the order of time", () => {
    const [row] = checkStatistics(entries);
    expect(row).toMatchObject({ count: 3, misses: 0, notProven: 1, medianUncertainty: 4 });
    expect(accuracyOverTime(entries, row).map(({ value }) => value)).toEqual([4, 8, 2]);
    expect(accuracyOverTime(entries, row)[1].verdict).toBe("not proven");
    expect(accuracyOverTime(entries, { label: "Distance", unit: "deg" })).toEqual([]);
  });

  test("prints are deviations from the design; a record without a reading has none", () => {
    const { across, up } = printsOverTime(entries);
    expect(across.map(({ value }) => Number(value.toFixed(6)))).toEqual([0.001, -0.002]);
    expect(up.map(({ value }) => Number(value.toFixed(6)))).toEqual([0.002, -0.001]);
    expect(across[0].at).toBe(Date.parse("2026-01-06T10:00:00Z"));
  });

  test("an entry of an earlier program has no names of prints", () => {
    const { printSets: _none, ...old } = entries[0];
    expect(revisionEntrySchema.parse(old).printSets).toEqual([]);
  });
});
