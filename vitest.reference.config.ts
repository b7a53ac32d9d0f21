import { defineConfig } from "vitest/config";

/** `npm run test:reference`: comparisons with Debian's OpenCV, AprilTag and SciPy; Firefox and WebKit. */
export default defineConfig({
  test: {
    reporters: ["default", "./tests/tools/count-reporter.ts"],
    include: ["tests/reference/**/*.test.ts"],
    testTimeout: 600_000,
    hookTimeout: 600_000,
    maxWorkers: 2,
    passWithNoTests: false,
  },
});
