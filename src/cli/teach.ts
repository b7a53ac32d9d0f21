/**
 * `npm run --silent teach -- <folder>`
 * Teaches a target from photos: the folder holds teach.json, camera/ and photos/. Prints a target
 * library (plumbshot-targets) with the taught target; warnings and reasons go to standard error.
 * Exit status 0: taught; 2: the input cannot be used.
 */
import { join } from "node:path";
import { nodePorts } from "../../workers/node/node-ports.ts";
import { examineAll, knowCamera, oneLens } from "../job/run/run.ts";
import { type TeachFile, teachFileSchema, teachFromPhotos } from "../job/teach/teach-target.ts";
import { readArguments } from "./arguments.ts";
import {
  cameraOf,
  needFolder,
  needFormat,
  photosIn,
  readJson,
  UnusableInput,
} from "./job-folder.ts";
import { orUnusable, refuse, say } from "./refuse.ts";
import { printJson } from "./terminal.ts";

const help = {
  usage: "Usage: npm run --silent teach -- <folder>",
  text: `Teaches a target from photos with pointer boards. The folder holds teach.json (see
src/job/schemas/plumbshot-teach.schema.json), photos/ with the photos of the target, and camera/ with
photos of the camera sheet or a saved camera profile. Prints a target library; warnings and reasons go
to standard error.

Exit status: 0 taught; 2 the input cannot be used.`,
};

const readTeachFile = async (folder: string): Promise<TeachFile> => {
  await needFolder(folder, "Name the folder with teach.json and photos.");
  const file = join(folder, "teach.json");
  const raw = await readJson(file, "Its form: src/job/schemas/plumbshot-teach.schema.json.");
  needFormat(file, raw, { format: "plumbshot-teach", version: 1 });
  const parsed = teachFileSchema.safeParse(raw);
  if (parsed.success) return parsed.data;
  const lines = parsed.error.issues.map(
    (issue) => `  ${issue.path.join(".") || "the file"}: ${issue.message}.`,
  );
  throw new UnusableInput([`${file} cannot be used:`, ...lines].join("\n"));
};

const main = async (): Promise<number> => {
  const read = readArguments(help, {}, "one folder with teach.json and photos");
  if (!read.ok) return read.status;
  const [folder] = read.names;
  const { ports, close } = nodePorts();
  return orUnusable(async () => {
    const teach = await readTeachFile(folder);
    const place = join(folder, "photos");
    const photos = await photosIn(place);
    if (!photos || photos.length === 0)
      throw new UnusableInput(
        `${photos ? `${place} holds no photo` : `${folder} has no folder photos/`}. Put the photos of ` +
          "the target there.",
      );
    const camera = await knowCamera(await cameraOf(join(folder, "camera")), ports, {});
    if (camera && !camera.ok) return refuse(camera.remarks);
    const known = camera ? camera.camera : null;
    const lens = known?.profile.lens ?? null;
    const outcomes = await examineAll(photos, "boards", oneLens(lens), ports, {}, "photos");
    const answer = teachFromPhotos(teach, known, outcomes, ports.today());
    if (!answer.ok) return refuse(answer.remarks);
    say(answer.remarks.filter(({ severity }) => severity !== "info"));
    printJson(answer.library);
    return 0;
  }, close);
};

process.exitCode = await main();
