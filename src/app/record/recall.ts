import type { TrendPoint } from "../drawing/trend-point.ts";
import type { RevisionEntry } from "../store/database/revision-entry.ts";

/** Finding closed records again, and what they say together. */

/** All words of the search occur somewhere in what identifies the record; the verdict must fit. */
export function matches(
  entry: RevisionEntry,
  search: string,
  outcome: RevisionEntry["outcome"] | "any",
): boolean {
  const text = [
    entry.title,
    entry.plate,
    entry.vin,
    entry.vehicle,
    entry.customer,
    entry.technician,
    entry.sheet,
    ...entry.printSets,
    entry.closedAt.slice(0, 10),
    entry.sha256,
  ]
    .join(" ")
    .toLowerCase();
  const words = search.toLowerCase().split(/\s+/);
  return (
    (outcome === "any" || entry.outcome === outcome) && words.every((word) => text.includes(word))
  );
}

/** The last revision of each record. */
export const lastRevisions = (entries: readonly RevisionEntry[]): RevisionEntry[] => [
  ...new Map(
    [...entries].sort((a, b) => a.number - b.number).map((entry) => [entry.jobId, entry]),
  ).values(),
];

export interface CheckStatistics {
  readonly label: string;
  readonly labelSaid?: RevisionEntry["checks"][number]["labelSaid"];
  readonly unit: "mm" | "deg";
  readonly count: number;
  readonly misses: number;
  readonly notProven: number;
  /** Middle of the expanded uncertainties, same unit. */
  readonly medianUncertainty: number;
}

/** How often each check missed or was not proven, the most often missed first. */
export function checkStatistics(entries: readonly RevisionEntry[]): CheckStatistics[] {
  const byName = new Map<string, RevisionEntry["checks"][number][]>();
  for (const check of lastRevisions(entries).flatMap(({ checks }) => checks)) {
    const name = `${check.label}|${check.unit}`;
    byName.set(name, [...(byName.get(name) ?? []), check]);
  }
  return [...byName.values()]
    .map((checks) => ({
      label: checks[0].label,
      labelSaid: checks[0].labelSaid,
      unit: checks[0].unit,
      count: checks.length,
      misses: checks.filter(({ verdict }) => verdict === "misses").length,
      notProven: checks.filter(({ verdict }) => verdict === "not proven").length,
      medianUncertainty: middle(checks.map(({ expandedUncertainty }) => expandedUncertainty)),
    }))
    .sort((a, b) => b.misses / b.count - a.misses / a.count || a.label.localeCompare(b.label));
}

const byTime = (entries: readonly RevisionEntry[]): RevisionEntry[] =>
  lastRevisions(entries).sort((a, b) => a.closedAt.localeCompare(b.closedAt));

/** Expanded uncertainty of one check in every record, the oldest first, in the check's unit. */
export const accuracyOverTime = (
  entries: readonly RevisionEntry[],
  { label, unit }: Pick<CheckStatistics, "label" | "unit">,
): TrendPoint[] =>
  byTime(entries).flatMap(({ closedAt, checks }) =>
    checks
      .filter((check) => check.label === label && check.unit === unit)
      .map(({ expandedUncertainty, verdict }) => ({
        at: Date.parse(closedAt),
        value: expandedUncertainty,
        verdict,
      })),
  );

/** By how much the prints were larger than designed, as shares of 1, across and up. */
export function printsOverTime(entries: readonly RevisionEntry[]): {
  readonly across: TrendPoint[];
  readonly up: TrendPoint[];
} {
  const read = byTime(entries).flatMap(({ closedAt, printScales }) =>
    printScales ? [{ at: Date.parse(closedAt), ...printScales }] : [],
  );
  return {
    across: read.map(({ at, horizontal }) => ({ at, value: horizontal - 1 })),
    up: read.map(({ at, vertical }) => ({ at, value: vertical - 1 })),
  };
}

function middle(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  const half = Math.floor(sorted.length / 2);
  return sorted.length % 2 === 1 ? sorted[half] : (sorted[half - 1] + sorted[half]) / 2;
}
