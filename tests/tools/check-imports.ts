/**
 * Fails on an import against the declared house (house/rooms.ts), on a cycle of files or folders, and
 * on clocks and random numbers in pure rooms; that these see no DOM and no Node is the compiler's word.
 */
import { join } from "node:path";
import { problemsOf } from "./house/problems.ts";
import { rooms } from "./house/rooms.ts";
import { readSources } from "./house/sources.ts";

const sources = readSources(join(import.meta.dirname, "../.."), ["src", "workers"]);
const problems = problemsOf(rooms, sources);
for (const problem of problems) console.error(problem);
console.log(`imports: ${sources.length} files, ${problems.length} problems`);
process.exit(problems.length > 0 ? 1 : 0);
