/**
 * `npm run --silent camera -- <folder> [--json] [--out file] [--screen]`
 * Photos of the camera sheet in, camera profile out: `camera-profile.json` in the folder, or where
 * --out says. --screen: the sheet was shown on a flat screen instead of printed.
 * Exit status 0: profile written; 2: the photos cannot be used, reasons on standard error.
 */
import { writeFile } from "node:fs/promises";
import { join } from "node:path";
import { nodePool } from "../../workers/node/node-pool.ts";
import { sheetId } from "../boards/sheet.ts";
import { calibrateFromFindings } from "../calibrate/camera-step.ts";
import type { PhotoOutcome } from "../detect/findings/findings.ts";
import { guideCamera } from "../job/run/learn-camera.ts";
import { examineAll, oneLens, type Progress } from "../job/run/run.ts";
import { readArguments } from "./arguments.ts";
import { cameraText } from "./camera-report.ts";
import { photosIn } from "./job-folder.ts";
import { refuse } from "./refuse.ts";
import { complain, print, printJson } from "./terminal.ts";

const help = {
  usage: "Usage: npm run --silent camera -- <folder> [--json] [--out <file>] [--screen]",
  text: `Makes a camera profile from the photos of the camera sheet in a folder.

  --out <file>   where the profile goes; without it camera-profile.json in the folder
  --screen       the sheet was shown on a flat screen instead of printed
  --json         print profile and remarks as one JSON document

Exit status: 0 profile written; 2 the photos cannot be used.`,
};

/** Finds the sheet in every photo, several at once; null where the folder cannot be read. */
const examineFolder = async (folder: string): Promise<PhotoOutcome[] | null> => {
  const photos = await photosIn(folder);
  if (!photos) return null;
  const pool = nodePool();
  try {
    return await examineAll(
      photos,
      "sheet",
      oneLens(null),
      pool,
      { onProgress: showProgress },
      "camera photos",
    );
  } finally {
    pool.close();
  }
};

const showProgress = ({ done, of }: Progress): void => {
  if (process.stderr.isTTY) process.stderr.write(`\rphotos ${done}/${of} \r`);
};

const main = async (): Promise<number> => {
  const read = readArguments(
    help,
    {
      json: { type: "boolean", default: false },
      screen: { type: "boolean", default: false },
      out: { type: "string" },
    },
    "one folder with photos of the camera sheet",
  );
  if (!read.ok) return read.status;
  const [folder] = read.names;
  const { json, screen, out = join(folder, "camera-profile.json") } = read.values;
  const outcomes = await examineFolder(folder);
  if (!outcomes || outcomes.length === 0) {
    complain(
      outcomes
        ? `${folder} holds no photo. Put the photos of the camera sheet there.`
        : `${folder} is not a folder. Name the folder with the photos of the camera sheet.`,
    );
    return 2;
  }
  const outcome = calibrateFromFindings(outcomes, sheetId, {
    date: new Date().toISOString(),
    flat: screen,
  });
  const advice = guideCamera(outcomes).text;
  if (!outcome.ok) {
    const code = refuse(outcome.remarks);
    complain(advice);
    return code;
  }
  try {
    await writeFile(out, `${JSON.stringify(outcome.profile, null, 2)}\n`);
  } catch (error) {
    const reason = error instanceof Error ? error.message : String(error);
    complain(`The profile cannot be written to ${out}: ${reason}. Choose with --out.`);
    return 2;
  }
  if (json) printJson(outcome);
  else print(`${cameraText(outcome)}\n\n${advice}\nProfile written to ${out}.`);
  return 0;
};

process.exitCode = await main();
