/**
 * `npm run --silent measure -- <job-folder> [--json] [--notes]`
 * Exit status 0: all checks meet; 1: some miss or are not proven; 2: the input cannot be used.
 */
import { nodePorts } from "../../workers/node/node-ports.ts";
import { exitStatusOf } from "../job/result/outcome.ts";
import { reportText } from "../job/result/report-text.ts";
import { type JobInput, type Progress, runJob, type SolveInput } from "../job/run/run.ts";
import { planPhotos } from "../plan/plan.ts";
import { nextPhotoText } from "../plan/report-text.ts";
import { readArguments } from "./arguments.ts";
import { readJobFolder } from "./job-folder.ts";
import { orUnusable, refuse } from "./refuse.ts";
import { print, printJson } from "./terminal.ts";

const help = {
  usage: "Usage: npm run --silent measure -- <job-folder> [--json] [--notes]",
  text: `Measures a job folder: job.json, photos/ with the photos of the bay, and camera/ with photos of
the camera sheet or a saved camera profile. sample-images/demo-job is one. Where several phones took
the photos, camera/ holds a profile, or a folder with sheet photos, for each of them.

  --json   print the whole result as one JSON document
  --notes  print all notes, not only the five that matter most

Exit status: 0 all checks meet; 1 some miss or are not proven; 2 the input cannot be used.`,
};

const options = {
  json: { type: "boolean", default: false },
  notes: { type: "boolean", default: false },
} as const;

const showProgress = (progress: Progress): void => {
  if (!process.stderr.isTTY) return;
  const text = progress.stage === "done" ? "" : `${progress.stage} ${progress.done}/${progress.of}`;
  process.stderr.write(`\r${text.padEnd(40)}\r`);
};

type Examined = Pick<SolveInput, "camera" | "otherCameras" | "outcomes">;

/** Where a check is not proven: the one photo that would help most, if photos help. */
const sayNextPhoto = ({ job }: JobInput, { camera, otherCameras, outcomes }: Examined): void => {
  const planned = planPhotos({ job, camera, otherCameras, outcomes });
  const next = planned.ok ? nextPhotoText(planned.plan) : null;
  if (next) print(`\n${next}`);
};

const main = async (): Promise<number> => {
  const read = readArguments(help, options, "one job folder");
  if (!read.ok) return read.status;
  const [folder] = read.names;
  const { json, notes } = read.values;
  const { ports, close } = nodePorts();
  return orUnusable(async () => {
    const input = await readJobFolder(folder);
    let examined: Examined | null = null;
    const solve: typeof ports.solve = (task, signal) => {
      examined = task;
      return ports.solve(task, signal);
    };
    const answer = await runJob(input, { ...ports, solve }, { onProgress: showProgress });
    if (!answer.ok) return refuse(answer.remarks);
    if (json) printJson(answer.result);
    else print(reportText(answer.result, { allNotes: notes }));
    if (!json && examined && answer.result.outcome === "not proven") sayNextPhoto(input, examined);
    return exitStatusOf(answer.result);
  }, close);
};

process.exitCode = await main();
