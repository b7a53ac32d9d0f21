/** One value at one time, as it stands in a drawing over time. */
export interface TrendPoint {
  /** When the record was closed, ms since 1970. */
  readonly at: number;
  readonly value: number;
  readonly verdict?: string;
}
