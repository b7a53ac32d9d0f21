/**
 * What the finder said of a rendered picture, kept in .cache: bays are solved again in seconds after a
 * change to what stands behind the finder. The key holds every source that the finder's answer depends
 * upon, so that a change to any of them makes it look again.
 */
import { createHash } from "node:crypto";
import { existsSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { deserialize, serialize } from "node:v8";
import type { PhotoOutcome } from "../../../src/detect/findings/findings.ts";
import { fileGraph, readSources } from "../../tools/house/sources.ts";

/** One digest of the finder's sources: `entries` and all that they import, at any remove. */
export const digestOfSources = (root: string, entries: readonly string[]): string => {
  const sources = readSources(root, ["src", "tests/bench/phone"]);
  const graph = fileGraph(sources);
  const needed = new Set<string>();
  const pending = [...entries];
  for (let path = pending.pop(); path !== undefined; path = pending.pop()) {
    if (needed.has(path)) continue;
    needed.add(path);
    pending.push(...(graph.get(path) ?? []));
  }
  const hash = createHash("sha256").update(readFileSync(join(root, "package-lock.json")));
  for (const { path, text } of sources) if (needed.has(path)) hash.update(path).update(text);
  return hash.digest("hex");
};

/** The answer kept in `folder` under the photo's name and everything that `depends` holds, or a new one. */
export const keptFindings = (
  folder: string,
  name: string,
  depends: unknown,
  examine: () => PhotoOutcome,
): PhotoOutcome => {
  const key = createHash("sha256").update(JSON.stringify(depends)).digest("hex").slice(0, 16);
  const file = join(folder, `${name}-${key}.found`);
  if (existsSync(file)) return deserialize(readFileSync(file)) as PhotoOutcome;
  const outcome = examine();
  writeFileSync(file, serialize(outcome));
  return outcome;
};
