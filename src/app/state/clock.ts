/**
 * A time of now, but always after an earlier one: a clock that is set back must not put what is
 * new before what is old. ISO 8601 in UTC, milliseconds.
 */
export function after(earlier: string, now: Date): string {
  const before = Date.parse(earlier);
  const time = Number.isNaN(before) ? now.getTime() : Math.max(now.getTime(), before + 1);
  return new Date(time).toISOString();
}
