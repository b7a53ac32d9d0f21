import { mkdirSync, rmSync } from "node:fs";
import { join } from "node:path";

const cache = join(import.meta.dirname, "../../.cache");

/** Gives the test run a name, under which its files share what is made once; tidies up behind it. */
export default function setup(): () => void {
  const run = `run-${process.pid}-${Date.now()}`;
  process.env.PLUMBSHOT_TEST_RUN = run;
  mkdirSync(cache, { recursive: true });
  return () => {
    for (const end of ["", ".begun", ".done", ".failed"]) {
      rmSync(join(cache, run + end), { recursive: true, force: true });
    }
  };
}
