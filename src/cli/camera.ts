/**
 * `npm run --silent camera -- <folder> [--json] [--out file] [--screen]`
 * Photos of the camera sheet in, camera profile out: `camera-profile.json` in the folder, or where
 * --out says. --screen: the sheet was shown on a flat screen instead of printed.
 * Exit status 0: profile written; 2: the photos cannot be used, reasons on standard error.
 */
import { writeFile } from "node:fs/promises";
import { join } from "node:path";
import { parseArgs } from "node:util";
import { nodePool } from "../../workers/node-pool.ts";
import { sheetId } from "../boards/sheet.ts";
import type { PhotoOutcome } from "../detection/findings.ts";
import { guideCamera } from "../job/learn-camera.ts";
import { examineAll, type Progress } from "../job/run.ts";
import { cameraText } from "../network/camera-step/report-text.ts";
import { calibrateFromFindings } from "../network/camera-step.ts";
import { photosIn } from "./job-folder.ts";
import { refuse } from "./refuse.ts";

const usage = "Usage: npm run --silent camera -- <folder> [--json] [--out <file>] [--screen]";

interface Request {
  readonly folder: string;
  readonly json: boolean;
  readonly out: string;
  readonly screen: boolean;
}

const readRequest = (): Request | string => {
  try {
    const { values, positionals } = parseArgs({
      options: {
        json: { type: "boolean", default: false },
        screen: { type: "boolean", default: false },
        out: { type: "string" },
      },
      allowPositionals: true,
    });
    if (positionals.length !== 1) return "Name one folder with photos of the camera sheet.";
    const [folder] = positionals;
    const out = values.out ?? join(folder, "camera-profile.json");
    return { folder, json: values.json, screen: values.screen, out };
  } catch (error) {
    return error instanceof Error ? error.message : String(error);
  }
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
      null,
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
  const request = readRequest();
  if (typeof request === "string") {
    console.error(`${request}\n${usage}`);
    return 2;
  }
  const outcomes = await examineFolder(request.folder);
  if (!outcomes || outcomes.length === 0) {
    console.error(
      outcomes
        ? `${request.folder} holds no photo. Put the photos of the camera sheet there.`
        : `${request.folder} is not a folder that can be read.`,
    );
    return 2;
  }
  const outcome = calibrateFromFindings(outcomes, sheetId, {
    date: new Date().toISOString(),
    flat: request.screen,
  });
  const advice = guideCamera(outcomes).text;
  if (!outcome.ok) {
    const code = refuse(outcome.remarks);
    console.error(advice);
    return code;
  }
  try {
    await writeFile(request.out, `${JSON.stringify(outcome.profile, null, 2)}\n`);
  } catch (error) {
    const reason = error instanceof Error ? error.message : String(error);
    console.error(`The profile cannot be written to ${request.out}: ${reason}. Choose with --out.`);
    return 2;
  }
  if (request.json) console.log(JSON.stringify(outcome, null, 2));
  else console.log(`${cameraText(outcome)}\n\n${advice}\nProfile written to ${request.out}.`);
  return 0;
};

process.exitCode = await main();
