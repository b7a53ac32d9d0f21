/**
 * `npm run --silent teach -- <folder>`
 * Teaches a target from photos: the folder holds teach.json, camera/ and photos/. Prints a target
 * library (plumbshot-targets) with the taught target; warnings and reasons go to standard error.
 * Exit status 0: taught; 2: the input cannot be used.
 */
import { join } from "node:path";
import { parseArgs } from "node:util";
import { nodePorts } from "../../workers/node-ports.ts";
import { examineAll, knowCamera } from "../job/run.ts";
import { type TeachFile, teachFileSchema, teachFromPhotos } from "../job/teach-target.ts";
import { cameraOf, photosIn, readJson, UnusableInput } from "./job-folder.ts";
import { orUnusable, refuse, say } from "./refuse.ts";

const usage = "Usage: npm run --silent teach -- <folder>";

const readFolderName = (): string | null => {
  try {
    const { positionals } = parseArgs({ options: {}, allowPositionals: true });
    if (positionals.length === 1) return positionals[0];
    console.error(`Name one folder with teach.json and photos.\n${usage}`);
  } catch (error) {
    console.error(`${error instanceof Error ? error.message : error}\n${usage}`);
  }
  return null;
};

const readTeachFile = async (folder: string): Promise<TeachFile> => {
  const file = join(folder, "teach.json");
  const parsed = teachFileSchema.safeParse(await readJson(file));
  if (parsed.success) return parsed.data;
  const lines = parsed.error.issues.map(
    (issue) => `  ${issue.path.join(".") || "the file"}: ${issue.message}.`,
  );
  throw new UnusableInput([`${file} cannot be used:`, ...lines].join("\n"));
};

const main = async (): Promise<number> => {
  const folder = readFolderName();
  if (folder === null) return 2;
  const { ports, close } = nodePorts();
  return orUnusable(async () => {
    const teach = await readTeachFile(folder);
    const photos = await photosIn(join(folder, "photos"));
    if (!photos)
      throw new UnusableInput(
        `${folder} has no folder photos/. Put the photos of the target there.`,
      );
    const camera = await knowCamera(await cameraOf(join(folder, "camera")), ports, {});
    if (camera && !camera.ok) return refuse(camera.remarks);
    const known = camera ? camera.camera : null;
    const lens = known?.profile.lens ?? null;
    const outcomes = await examineAll(photos, "boards", lens, ports, {}, "photos");
    const answer = teachFromPhotos(teach, known, outcomes, ports.today());
    if (!answer.ok) return refuse(answer.remarks);
    say(answer.remarks.filter(({ severity }) => severity !== "info"));
    console.log(JSON.stringify(answer.library, null, 2));
    return 0;
  }, close);
};

process.exitCode = await main();
