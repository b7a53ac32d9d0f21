/**
 * `npm run bench:record [-- --quick]`: the record of the demo, made in Chromium through the app: time
 * and size of its PDF, tampering named by the verifier, faces found on photos that npm and Debian
 * packages carry, requests to other origins. Last line: one JSON object. `--quick` tries fewer
 * cases of tampering. `--keep <folder>` leaves the files there. `--faces <folder>`: an independent set of
 * photos with faces (`tests/tools/faces-in-app.ts` says which).
 */
import { mkdirSync, writeFileSync } from "node:fs";
import { parseArgs } from "node:util";
import { desktop, startApp, watchedPage } from "../browser/app-harness.ts";
import { countFaces } from "../tools/faces-in-app.ts";
import { choosePhotos, closeRecord, demoAtRecord, make } from "../tools/record-in-app.ts";
import { countTampering } from "../tools/tamper.ts";

const { values } = parseArgs({
  options: {
    faces: { type: "string" },
    quick: { type: "boolean", default: false },
    keep: { type: "string" },
  },
});

const tamper = values.quick ? await countTampering(60, 40) : await countTampering(400, 2);
for (const missed of tamper.missed.slice(0, 10)) console.log(`not named: ${missed}`);

const app = await startApp("bench-record");
const { page, errors, foreign } = await watchedPage(app, desktop);
await demoAtRecord(page);
await closeRecord(page);
const looking = await choosePhotos(page, "revision-pdf", "covered");
const first = await make(page, "leaving-make");
// The first time loads the typeface and the PDF writer, too; people wait for that as well.
await choosePhotos(page, "revision-pdf", "covered");
const second = await make(page, "leaving-make");
await choosePhotos(page, "record-archive", "originals");
const archive = await make(page, "leaving-make");
const csv = await make(page, "record-csv");
console.log(`faces looked for in ${looking.toFixed(1)} s, before the user looks`);
console.log(
  `PDF ${first.seconds.toFixed(2)} s the first time, ${second.seconds.toFixed(2)} s again`,
);
console.log(
  `archive ${(archive.bytes.length / 1e6).toFixed(1)} MB in ${archive.seconds.toFixed(1)} s`,
);
if (values.keep) {
  mkdirSync(values.keep, { recursive: true });
  for (const { name, bytes } of [first, archive, csv])
    writeFileSync(`${values.keep}/${name}`, bytes);
}
const faces = await countFaces(page, app.folder, values.faces ?? null);
for (const line of faces.lines) console.log(line);
for (const error of errors) console.log(`error in the page: ${error}`);
await app.close();

console.log(
  JSON.stringify({
    pdf_s: Number(first.seconds.toFixed(2)),
    pdf_kb: Math.round(first.bytes.length / 1000),
    faces_found: faces.found,
    faces_total: faces.total,
    faces_independent_found: faces.independentFound,
    faces_independent_total: faces.independentTotal,
    false_on_boards: faces.onBoards,
    tamper_cases: tamper.cases,
    tamper_named: tamper.named,
    foreign_requests: foreign.length,
  }),
);
