import { cpSync, existsSync, mkdirSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { build } from "vite";

const root = join(import.meta.dirname, "../..");

/**
 * Builds the app as it is shipped into a folder. Test files of one run share one build: the first
 * that asks makes it, the others wait and copy it (a run has a name, see tests/tools/test-run.ts).
 */
export async function buildApp(outDir: string): Promise<void> {
  const run = process.env.PLUMBSHOT_TEST_RUN;
  if (!run) {
    await buildAsShipped(outDir);
    return;
  }
  const shared = join(root, ".cache", run);
  const done = `${shared}.done`;
  const failed = `${shared}.failed`;
  if (isFirst(`${shared}.begun`)) {
    try {
      await buildAsShipped(shared);
      writeFileSync(done, "");
    } catch (error) {
      writeFileSync(failed, "");
      throw error;
    }
  }
  while (!existsSync(done)) {
    if (existsSync(failed)) {
      throw new Error("The app could not be built; another test file of this run says why.");
    }
    await new Promise((resolve) => setTimeout(resolve, 100));
  }
  cpSync(shared, outDir, { recursive: true });
}

/** True for the one that makes the folder. */
function isFirst(mark: string): boolean {
  try {
    mkdirSync(mark);
    return true;
  } catch {
    return false;
  }
}

/** Vitest sets NODE_ENV to "test", which would build React's development version. */
async function buildAsShipped(outDir: string): Promise<void> {
  const before = process.env.NODE_ENV;
  process.env.NODE_ENV = "production";
  try {
    await build({
      root,
      mode: "production",
      logLevel: "error",
      build: { outDir, emptyOutDir: true },
    });
  } finally {
    process.env.NODE_ENV = before;
  }
}
