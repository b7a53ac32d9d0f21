/**
 * npm run house: for each folder of the code its files, its longest file, and its doors: the files
 * that other folders import.
 */
import { join, posix } from "node:path";
import { readSources, type Source } from "./sources.ts";

const sources = readSources(join(import.meta.dirname, "../../.."), ["src", "workers"]);
const folders = new Map<string, Source[]>();
for (const source of sources) {
  const folder = posix.dirname(source.path);
  folders.set(folder, [...(folders.get(folder) ?? []), source]);
}
const doors = new Map<string, Set<string>>();
for (const { path, imports } of sources)
  for (const { target, isPackage } of imports) {
    const folder = posix.dirname(target);
    if (isPackage || folder === posix.dirname(path) || !folders.has(folder)) continue;
    doors.set(folder, (doors.get(folder) ?? new Set()).add(posix.basename(target)));
  }

for (const [folder, files] of [...folders].sort(([a], [b]) => a.localeCompare(b))) {
  const lines = files.map(({ path, text }) => ({ path, lines: text.split("\n").length - 1 }));
  const longest = lines.reduce((a, b) => (b.lines > a.lines ? b : a));
  const open = [...(doors.get(folder) ?? [])].sort();
  console.log(
    `${folder.padEnd(28)} ${String(files.length).padStart(3)} files, longest ` +
      `${String(longest.lines).padStart(3)} ${posix.basename(longest.path).padEnd(24)} ` +
      `${open.length} doors: ${open.join(" ")}`,
  );
}
