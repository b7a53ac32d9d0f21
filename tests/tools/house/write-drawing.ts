/** npm run docs:house: draws the parts from the code into DEVELOPERS.md. */
import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { drawingOf, withDrawing } from "./drawing.ts";
import { rooms } from "./rooms.ts";
import { readSources } from "./sources.ts";

const root = join(import.meta.dirname, "../../..");
const file = join(root, "DEVELOPERS.md");
const sources = readSources(root, ["src", "workers"]);
writeFileSync(file, withDrawing(readFileSync(file, "utf8"), drawingOf(rooms, sources)));
