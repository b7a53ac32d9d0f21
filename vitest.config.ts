import { defineConfig } from "vitest/config";

/** `npm test`: everything that needs Node, Chromium and poppler only. */
export default defineConfig({
  test: {
    reporters: ["default", "./tests/tools/count-reporter.ts"],
    include: ["tests/{unit,print,job,browser}/**/*.test.ts"],
    globalSetup: ["tests/tools/ensure-chromium.ts", "tests/tools/test-run.ts"],
    testTimeout: 120_000,
    hookTimeout: 180_000,
    // What is polled for says what comes, not how soon: one second is less than a busy machine needs.
    expect: { poll: { timeout: 10_000 } },
    // Two workers: photos of 12 megapixels and a browser share the machine.
    maxWorkers: 2,
    passWithNoTests: false,
  },
});
