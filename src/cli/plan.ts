/**
 * `npm run --silent plan -- <job-folder> [--wheelbase mm] [--track mm] [--json]`
 * Which photos to take, before the first one or after some.
 */
import { nodePorts } from "../../workers/node/node-ports.ts";
import { examineAll, knowCamera, knowOthers, lensChoice } from "../job/run/run.ts";
import { planPhotos } from "../plan/plan.ts";
import { planText } from "../plan/report-text.ts";
import { readArguments } from "./arguments.ts";
import { readJobFolder, UnusableInput } from "./job-folder.ts";
import { orUnusable, refuse } from "./refuse.ts";
import { print, printJson } from "./terminal.ts";

const help = {
  usage: "Usage: npm run --silent plan -- <job-folder> [--wheelbase <mm>] [--track <mm>] [--json]",
  text: `Says which photos of the bay to take: the fewest that prove what the placement sheet asks, with the
uncertainty that they will give, from where to take each, and where to lay the floor boards. Photos
that are in photos/ already count; that folder may be empty.

  --wheelbase  roughly, mm; while no photos give it
  --track      roughly, mm
  --json       print the plan as one JSON document

Exit status: 0 there is a plan; 2 the input cannot be used.`,
};

const options = {
  wheelbase: { type: "string" },
  track: { type: "string" },
  json: { type: "boolean", default: false },
} as const;

/** A rough length of a car; throws UnusableInput where it cannot be one. */
const lengthOf = (name: string, text: string | undefined): number | undefined => {
  if (text === undefined) return undefined;
  const value = Number(text);
  if (!(value >= 1000 && value <= 8000))
    throw new UnusableInput(
      `--${name} ${text} is no ${name} of a car: give it in mm, 1000 to 8000.`,
    );
  return value;
};

const main = async (): Promise<number> => {
  const read = readArguments(help, options, "one job folder");
  if (!read.ok) return read.status;
  const { wheelbase, track, json } = read.values;
  const { ports, close } = nodePorts();
  return orUnusable(async () => {
    const rough = {
      wheelbaseMm: lengthOf("wheelbase", wheelbase),
      trackMm: lengthOf("track", track),
    };
    const { job, camera, otherCameras = [], photos } = await readJobFolder(read.names[0]);
    const known = await knowCamera(camera, ports, {});
    if (known && !known.ok) return refuse(known.remarks);
    const knowledge = known ? known.camera : null;
    const others = await knowOthers(otherCameras, ports, {});
    if (!others.ok) return refuse(others.remarks);
    const lensOf = lensChoice(job, knowledge, others.cameras);
    const outcomes = await examineAll(photos, "boards", lensOf, ports, {}, "photos");
    const answer = planPhotos({
      job,
      camera: knowledge,
      otherCameras: others.cameras,
      outcomes,
      rough,
    });
    if (!answer.ok) return refuse(answer.remarks);
    if (json) printJson(answer.plan);
    else print(planText(answer.plan));
    return 0;
  }, close);
};

process.exitCode = await main();
