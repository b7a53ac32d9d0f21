import type { PhotoFindings } from "../../detect/findings/findings.ts";
import type { AcceptanceNote, JobAcceptance } from "../file/acceptance-note.ts";
import type { JobFile } from "../file/job-file.ts";
import type { Remark } from "../result/remark-codes.ts";

/**
 * What the shop's last acceptance test says about this job: when it was, whether the shop's own rule
 * asks for another, and whether what was tested is what is in use. No interval rests on it.
 */
export const acceptanceRemarks = (
  job: JobFile,
  photos: Iterable<PhotoFindings>,
  measuredAt: string,
): Remark[] => {
  const { acceptance } = job;
  if (!acceptance) return [];
  const { last } = acceptance;
  if (!last) return [missing];
  const changed = changedSince(job, acceptance, last, [...photos]);
  return [
    ...outcomeRemark(last),
    ...tooOld(acceptance, last, measuredAt),
    ...(changed.length > 0 ? [changes(last, changed)] : []),
  ];
};

const missing: Remark = {
  code: "acceptance-missing",
  severity: "warning",
  message: "This phone and these prints were never put to an acceptance test.",
  remedy:
    "Take the test once: boards, a few lengths that are measured well, and two rounds of photos.",
};

const day = (iso: string): string => iso.slice(0, 10);

const outcomeRemark = (last: AcceptanceNote): Remark[] => {
  const date = day(last.testedAt);
  if (last.outcome === "fail")
    return [
      {
        code: "acceptance-failed",
        values: { date, error: last.largestErrorMm ?? 0 },
        severity: "warning",
        message: `The acceptance test of ${date} failed: lengths were off by more than their limits, up to ${(last.largestErrorMm ?? 0).toFixed(1)} mm.`,
        remedy: "Find out why, put it right, and take the test again before you rely on a verdict.",
      },
    ];
  if (last.outcome === "not shown")
    return [
      {
        code: "acceptance-not-shown",
        values: { date },
        severity: "warning",
        message: `The acceptance test of ${date} showed neither a pass nor a fail.`,
        remedy: "See on its certificate what was missing, and take it again.",
      },
    ];
  return [
    {
      code: "acceptance-on",
      values: { date, error: last.largestErrorMm ?? 0 },
      severity: "info",
      message: `Last acceptance test: ${date}, passed, errors up to ${(last.largestErrorMm ?? 0).toFixed(1)} mm.`,
      remedy: "",
    },
  ];
};

const dayMs = 86_400_000;

/** Whole days between two ISO times; NaN where either cannot be read. */
const daysBetween = (from: string, to: string): number =>
  Math.floor((Date.parse(to) - Date.parse(from)) / dayMs);

const tooOld = (
  { everyDays }: JobAcceptance,
  last: AcceptanceNote,
  measuredAt: string,
): Remark[] => {
  const days = daysBetween(last.testedAt, measuredAt);
  // A date that cannot be read, or one that lies ahead of the clock, proves no age either.
  if (days >= -1 && days <= everyDays) return [];
  const date = day(last.testedAt);
  return [
    {
      code: "acceptance-old",
      values: { date, rule: everyDays },
      severity: "warning",
      message: `The last acceptance test (${date}) is not within the ${everyDays} days of the shop's own rule.`,
      remedy: "Take the test again.",
    },
  ];
};

/** What may have changed; each word is one of these. */
type Changed = "phone" | "system version" | "prints" | "plates";

const changedSince = (
  job: JobFile,
  { plates }: JobAcceptance,
  last: AcceptanceNote,
  photos: readonly PhotoFindings[],
): Changed[] => [
  ...phoneChanges(last, photos),
  ...(samePrints(job, last) ? [] : (["prints"] as const)),
  ...(samePlates(job.wheelPlates.name ?? plates, last.plates) ? [] : (["plates"] as const)),
];

/** What nobody named cannot be told apart; capitals and blanks make no other set. */
const samePlates = (used: string, tested: string): boolean => {
  const [a, b] = [used, tested].map((name) => name.trim().replace(/\s+/g, " ").toLowerCase());
  return a === "" || b === "" || a === b;
};

/** Photos that carry no EXIF tell nothing. */
const phoneChanges = ({ phones }: AcceptanceNote, photos: readonly PhotoFindings[]): Changed[] => {
  const changes = new Set<Changed>();
  for (const { exif } of photos) {
    if (!exif?.model) continue;
    const same = phones.filter(
      ({ make, model }) => model === exif.model && make === (exif.make ?? "unnamed"),
    );
    if (same.length === 0) changes.add("phone");
    else if (exif.software && same.every(({ system }) => !system.includes(exif.software!)))
      changes.add("system version");
  }
  return [...changes];
};

/** Two readings of one bar differ by a few tenths; another print differs in size or by more. */
const sameReadingMm = 0.5;

const samePrints = (
  { boards: { cellMm, printCheck } }: JobFile,
  { prints }: AcceptanceNote,
): boolean => {
  const near = (tested: number | null, reading: number | undefined): boolean =>
    tested === null || reading === undefined || Math.abs(tested - reading) <= sameReadingMm;
  return (
    cellMm === prints.cellMm &&
    near(prints.horizontalMm, printCheck?.horizontal.readingMm) &&
    near(prints.verticalMm, printCheck?.vertical.readingMm)
  );
};

const changes = (last: AcceptanceNote, what: readonly Changed[]): Remark => ({
  code: "acceptance-changed",
  values: { date: day(last.testedAt), what },
  severity: "warning",
  message: `The acceptance test of ${day(last.testedAt)} was made with another state of: ${what.join(", ")}.`,
  remedy: "It holds for what was tested. Take the test again with what is in use now.",
});
