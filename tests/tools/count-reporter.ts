import type { Reporter, TestModule } from "vitest/node";

/** Closes a run with one plain line that scripts can read: "12 passed, 0 failed". */
export default class CountReporter implements Reporter {
  onTestRunEnd(modules: readonly TestModule[]): void {
    const count = { passed: 0, failed: 0, skipped: 0 };
    for (const module of modules) {
      const tests = [...module.children.allTests()];
      for (const test of tests) {
        const { state } = test.result();
        if (state === "passed" || state === "failed" || state === "skipped") count[state]++;
      }
      if (module.state() === "failed" && tests.length === 0) count.failed++;
    }
    const skipped = count.skipped > 0 ? `, ${count.skipped} skipped` : "";
    console.log(`${count.passed} passed, ${count.failed} failed${skipped}`);
  }
}
