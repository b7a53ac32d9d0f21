/**
 * `npm run --silent teach -- <folder>`
 * Teaches a target from photos: the folder holds teach.json, camera/ and photos/. Prints a target
 * library (plumbshot-targets) with the taught target. Exit status 2: reasons on standard error.
 */
import { readFile } from "node:fs/promises";
import { join } from "node:path";
import { nodePorts } from "../../workers/node-ports.ts";
import { examineAll, knowCamera } from "../job/run.ts";
import { teachFileSchema, teachFromPhotos } from "../job/teach-target.ts";
import { cameraOf, photosIn, UnusableInput } from "./job-folder.ts";
import { orUnusable, refuse } from "./refuse.ts";

const usage = "Usage: npm run --silent teach -- <folder>";

const readTeachFile = async (folder: string) => {
  const file = join(folder, "teach.json");
  let raw: unknown;
  try {
    raw = JSON.parse(await readFile(file, "utf8"));
  } catch (error) {
    throw new UnusableInput(
      `${file} cannot be read: ${error instanceof Error ? error.message : error}`,
    );
  }
  const parsed = teachFileSchema.safeParse(raw);
  if (parsed.success) return parsed.data;
  const lines = parsed.error.issues.map((issue) => `  ${issue.path.join(".")}: ${issue.message}`);
  throw new UnusableInput([`${file} cannot be used:`, ...lines].join("\n"));
};

const main = async (args: readonly string[]): Promise<number> => {
  if (args.length !== 1) {
    console.error(usage);
    return 2;
  }
  const [folder] = args;
  const { ports, close } = nodePorts();
  return orUnusable(async () => {
    const teach = await readTeachFile(folder);
    const photos = (await photosIn(join(folder, "photos"))) ?? [];
    const camera = await knowCamera(await cameraOf(join(folder, "camera")), ports, {});
    if (camera && !camera.ok) return refuse(camera.remarks);
    const known = camera ? camera.camera : null;
    const lens = known?.profile.lens ?? null;
    const outcomes = await examineAll(photos, "boards", lens, ports, {}, "photos");
    const answer = teachFromPhotos(teach, known, outcomes, ports.today());
    if (!answer.ok) return refuse(answer.remarks);
    console.log(JSON.stringify(answer.library, null, 2));
    return 0;
  }, close);
};

process.exitCode = await main(process.argv.slice(2));
