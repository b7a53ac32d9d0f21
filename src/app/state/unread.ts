import type { Remark } from "../../job/result/remark-codes.ts";
import type { JobRecord } from "../store/database/schema.ts";

/**
 * Entries that cannot be read. They stay in the job as typed and hold the verdict back: the number
 * that was there before would otherwise count in silence.
 */
export type Unread = NonNullable<JobRecord["unread"]>;

/** The job with this text as the unread entry of a field; null where the field can be read again. */
export function withUnread(record: JobRecord, at: string, entry: Unread[string] | null): JobRecord {
  const { [at]: _old, ...others } = record.unread ?? {};
  return { ...record, unread: entry === null ? others : { ...others, [at]: entry } };
}

/** The job without unread entries of what is removed or replaced: `at` and everything below it. */
export function withoutUnread(record: JobRecord, at: string): JobRecord {
  const kept = Object.entries(record.unread ?? {}).filter(
    ([key]) => key !== at && !key.startsWith(`${at}.`),
  );
  return { ...record, unread: Object.fromEntries(kept) };
}

export const hasUnread = (record: Pick<JobRecord, "unread">): boolean =>
  Object.keys(record.unread ?? {}).length > 0;

/** Why nothing is measured, one remark per entry. */
export const unreadRemarks = (record: Pick<JobRecord, "unread">): Remark[] =>
  Object.values(record.unread ?? {}).map(({ label, text }) => ({
    code: "entry-unread",
    values: { label, text },
    severity: "error",
    message: `"${text}" in the field "${label}" cannot be read as a number.`,
    remedy: "Correct it or empty the field; until then there is no verdict.",
  }));
