import { execFile } from "node:child_process";
import { promisify } from "node:util";
import type { Page } from "playwright-core";
import { expect } from "vitest";
import { type Result, resultSchema } from "../../src/job/result/result.ts";
import { type ShownCheck, shownChecks } from "./app-harness.ts";

/** What `npm run measure -- <folder> --json` prints. Exit status 1: some miss. */
export async function commandLineResult(folder: string): Promise<Result> {
  const run = promisify(execFile);
  const answer = await run("npx", ["tsx", "src/cli/measure.ts", folder, "--json"], {
    maxBuffer: 1e9,
  }).catch((error: { code?: number; stdout?: string; stderr?: string }) => {
    if (error.code === 1 && error.stdout) {
      return { stdout: error.stdout };
    }
    throw new Error(`The command line failed: ${error.stderr}`);
  });
  return resultSchema.parse(JSON.parse(answer.stdout));
}

/** The same verdicts; values and uncertainties within a tenth of the standard uncertainty. */
export function expectSameNumbers(shown: readonly ShownCheck[], expected: Result): void {
  expect(shown.length).toBe(expected.checks.length);
  expect(shown.length).toBeGreaterThan(0);
  for (const [index, check] of expected.checks.entries()) {
    const { id, verdict, measured, standardUncertainty } = shown[index];
    expect([id, verdict]).toEqual([check.id, check.verdict]);
    const allowed = check.standardUncertainty / 10;
    expect([id, Math.abs(measured - check.measured) < allowed]).toEqual([id, true]);
    expect([id, Math.abs(standardUncertainty - check.standardUncertainty) < allowed]).toEqual([
      id,
      true,
    ]);
  }
}

/** The checks once nothing is being examined or measured any more. */
export async function settledChecks(page: Page, timeout: number): Promise<ShownCheck[]> {
  await expect
    .poll(
      async () => {
        await page.waitForTimeout(1000);
        const busy = await page.getByTestId("work").count();
        const stale = await page.getByTestId("stale").count();
        return busy + stale;
      },
      { timeout },
    )
    .toBe(0);
  return shownChecks(page);
}
