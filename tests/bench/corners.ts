/**
 * `npm run bench:corners`: how exactly the features of a board are placed, beside Debian's OpenCV
 * (every corner refinement, and saddle refinement of the ring from start points within 0.4 px, windows
 * chosen in its favour) and Debian's AprilTag on the same pictures, and beside the Cramer-Rao bound.
 * Pictures come from the exact renderer, and from one that follows rays through a phone's lens and its
 * development (corners/optics.ts, corners/develop.ts). A cell is good at 1/4 of the best native error or
 * at 1.3 x the bound. Last line: one JSON. Options:
 * --quick: a small part, within three minutes. --exact or --phone: one of the two renderers.
 * --condition NAME: the conditions with this in their name; --cell PX: cells of this size.
 * --save FILE: adds what was measured to a file, and judges all that it holds; cells that it holds with
 * the same seed are not measured again. --seed N: other poses and noise, which add up with those before.
 * --keep FOLDER: keeps pictures and native answers, and takes those that are there: to measure again
 * after a change of the fit takes seconds.
 */
import { existsSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { loadOpenCV } from "@opencvjs/web";
import { ringSaddlePoints } from "../../src/boards/pattern.ts";
import { boardTagFinder } from "../../src/detect/tags/opencv-tag-finder.ts";
import { seededRandom, truePixel } from "../tools/render-board.ts";
import { type MeasuredCell, saveCell, savedCells } from "./corners/cells.ts";
import { conditions, nameOf } from "./corners/conditions.ts";
import { cellsHead, cellWords, judge } from "./corners/judge.ts";
import { measure, type NativeAnswer } from "./corners/measure.ts";
import { boardId, type Picture, takePictures } from "./corners/pictures.ts";
import { runNative } from "./native-tags.ts";

const has = (option: string): boolean => process.argv.includes(option);
const option = (name: string): string | undefined => {
  const at = process.argv.indexOf(name);
  return at > 0 ? process.argv[at + 1] : undefined;
};
const quick = has("--quick");
const file = option("--save");
const seed = Number(option("--seed") ?? 0);
const repeats = { exact: quick ? 2 : 4, phone: quick ? 1 : 2 };
const phonePoses = quick ? 2 : 6;

const points = ringSaddlePoints();
const jitter = seededRandom(5 + seed);
/** Start points up to 0.4 px off in each direction: what a marker's corners predict at best. */
const startPoints = (p: Picture): number[] =>
  Array.from({ length: points.length / 2 }, (_, i) =>
    truePixel(p.scene, p.print, points[2 * i], points[2 * i + 1]),
  )
    .flat()
    .map((x) => x + 0.8 * (jitter() - 0.5));

/** The native program's answers; those of kept pictures are kept beside them. */
function nativeAnswers(pictures: readonly Picture[]): NativeAnswer[] {
  const pathOf = ({ path }: Picture) => path.replace(/pgm$/, "json");
  const asked = pictures.filter((p) => !existsSync(pathOf(p)));
  if (asked.length > 0)
    runNative<NativeAnswer>(
      "corners",
      asked.map((p) => ({ path: p.path, id: boardId, ring: startPoints(p) })),
    ).forEach((answer, k) => {
      writeFileSync(pathOf(asked[k]), JSON.stringify(answer));
    });
  return pictures.map((p) => JSON.parse(readFileSync(pathOf(p), "utf8")));
}

const list = conditions({
  quick,
  part: has("--phone") ? "phone" : has("--exact") ? "exact" : undefined,
  name: option("--condition"),
  cellPx: option("--cell") === undefined ? undefined : Number(option("--cell")),
});
if (list.length === 0) throw new Error("No condition of the table has this name and size.");
const earlier = file ? savedCells(file) : [];
const isNew = ({ cellPx, name }: { cellPx: number; name: string }) =>
  !earlier.some(
    (cell) => cell.cellPx === cellPx && cell.name === name && cell.seeds.includes(seed),
  );
const wanted = list.filter((c) => isNew({ cellPx: c.cellPx, name: nameOf(c) }));

const keep = option("--keep");
if (keep) mkdirSync(keep, { recursive: true });
const folder = keep ?? mkdtempSync(join(tmpdir(), "plumbshot-corners-"));
const finder = boardTagFinder((await loadOpenCV()) as never);
console.log(cellsHead);
const measured: MeasuredCell[] = [];
/** Cells of the table that one start of the native program does. */
const perStart = 4;
for (let first = 0; first < wanted.length; first += perStart) {
  const cells = wanted.slice(first, first + perStart).map((condition) => {
    const times = condition.effect ? repeats.phone : repeats.exact;
    const poses = condition.effect ? phonePoses : 2;
    return takePictures(condition, { poses, times, seed }, folder);
  });
  const native = nativeAnswers(cells.flat());
  for (const pictures of cells) {
    const answers = native.splice(0, pictures.length);
    const cell = measure(pictures[0].condition, pictures, answers, finder, seed);
    measured.push(cell);
    if (file) saveCell(file, cell);
    console.log(cellWords(cell));
  }
}
if (!keep) rmSync(folder, { recursive: true });
judge(file ? savedCells(file) : measured);
process.exit(0);
