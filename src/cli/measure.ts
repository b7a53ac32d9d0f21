/**
 * `npm run --silent measure -- <job-folder> [--json]`
 * Exit status 0: all checks meet; 1: some miss or are not proven; 2: the input cannot be used.
 */
import { parseArgs } from "node:util";
import { nodePorts } from "../../workers/node-ports.ts";
import { reportText } from "../job/report-text.ts";
import { type Progress, runJob } from "../job/run.ts";
import { readJobFolder } from "./job-folder.ts";
import { orUnusable, refuse } from "./refuse.ts";

const usage = "Usage: npm run --silent measure -- <job-folder> [--json]";

const showProgress = (progress: Progress): void => {
  if (!process.stderr.isTTY) return;
  const text = progress.stage === "done" ? "" : `${progress.stage} ${progress.done}/${progress.of}`;
  process.stderr.write(`\r${text.padEnd(40)}\r`);
};

const main = async (): Promise<number> => {
  let folder: string;
  let json: boolean;
  try {
    const { values, positionals } = parseArgs({
      options: { json: { type: "boolean", default: false } },
      allowPositionals: true,
    });
    if (positionals.length !== 1) throw new Error("name one job folder");
    [folder] = positionals;
    json = values.json;
  } catch (error) {
    console.error(`${error instanceof Error ? error.message : error}\n${usage}`);
    return 2;
  }
  const { ports, close } = nodePorts();
  return orUnusable(async () => {
    const input = await readJobFolder(folder);
    const answer = await runJob(input, ports, { onProgress: showProgress });
    if (!answer.ok) return refuse(answer.remarks);
    console.log(json ? JSON.stringify(answer.result, null, 2) : reportText(answer.result));
    return answer.result.outcome === "all meet" ? 0 : 1;
  }, close);
};

process.exitCode = await main();
