import type { z } from "zod";
import type { placementSheetSchema } from "../sheet.ts";

/** What the invented example sheets share. */
export type ExampleSheet = z.input<typeof placementSheetSchema>;
type ExampleCheck = ExampleSheet["steps"][number]["checks"][number];
/** One check without its reference, whatever its kind. */
type Unsourced<Check> = Check extends unknown ? Omit<Check, "reference"> : never;

export const inventedHead = (number: number, what: string) =>
  ({
    format: "plumbshot-placement",
    version: 1,
    title: `Example ${number}: ${what}`,
    invented: true,
    source: "Invented for practice; never use these numbers on a car.",
  }) as const;

export const plusMinus = (deviation: number) => ({
  lowerDeviation: -deviation,
  upperDeviation: deviation,
});
export const atMost = (upperDeviation: number) => ({ lowerDeviation: null, upperDeviation });
export const atLeast = (lowerDeviation: number) => ({ lowerDeviation, upperDeviation: null });

/** The checks with the place in the invented example that each number comes from. */
export const lines = (number: number, checks: readonly Unsourced<ExampleCheck>[]): ExampleCheck[] =>
  checks.map(
    (check, at) =>
      ({ ...check, reference: `Invented example ${number}, line ${at + 1}` }) as ExampleCheck,
  );
