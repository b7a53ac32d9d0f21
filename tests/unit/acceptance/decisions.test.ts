import { expect, test } from "vitest";
import { decideMany } from "../../bench/accept/decisions.ts";

test("shops from far inside to far outside their limits: few false passes, few false fails", () => {
  const { jobs, passed, failed, falsePass, falseFail } = decideMany(3000);
  expect(passed).toBeGreaterThan(0.2 * jobs);
  expect(failed).toBeGreaterThan(0.1 * jobs);
  expect(falsePass / jobs).toBeLessThan(0.01);
  expect(falseFail / jobs).toBeLessThan(0.01);
});
