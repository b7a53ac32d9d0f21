/** `npm run demo`: the main job on the sample photos, beside the renderer's truth. */
import { readFileSync } from "node:fs";
import { nodePorts } from "../../workers/node/node-ports.ts";
import { formatValue, reportText } from "../job/result/report-text.ts";
import type { Result } from "../job/result/result.ts";
import { runJob } from "../job/run/run.ts";
import { readArguments } from "./arguments.ts";
import {
  boardOnlyPlacement,
  measuredBoards,
  pairErrors,
  type Truth,
  trueBoards,
  trueValue,
  truthSchema,
} from "./demo-truth.ts";
import { readJobFolder } from "./job-folder.ts";
import { orUnusable, refuse } from "./refuse.ts";

const folder = "sample-images/demo-job";

const comparison = (result: Result, truth: Truth): string[] => {
  const head = `${"check".padEnd(34)}${"required".padStart(9)}${"measured".padStart(10)}${"truth".padStart(10)}${"error".padStart(8)}${"+- 95 %".padStart(9)}`;
  const rows = result.checks.map((check) => {
    const u = check.expandedUncertainty;
    const exact = trueValue(truth, check.quantity);
    const cell = (x: number | null, columns: number): string =>
      (x === null ? "-" : formatValue(x, u)).padStart(columns);
    const error = exact === null ? null : check.measured - exact;
    const inside = error === null || Math.abs(error) <= u ? "" : "  outside";
    return (
      `${`${check.label} (${check.unit})`.slice(0, 33).padEnd(34)}` +
      `${String(check.required).padStart(9)}${cell(check.measured, 10)}${cell(exact, 10)}` +
      `${cell(error, 8)}${cell(u, 9)}${inside}`
    );
  });
  return [head, ...rows];
};

const cameraShare = (result: Result, truth: Truth): string[] => {
  const measured = measuredBoards(result);
  const exact = trueBoards(truth);
  const a = boardOnlyPlacement(measured);
  const b = boardOnlyPlacement(exact);
  const pairs = pairErrors(exact, measured);
  const signed = (x: number, places: number): string => `${x < 0 ? "" : "+"}${x.toFixed(places)}`;
  return [
    "Against the true poses of the printed boards (the camera's share alone):",
    `  stand ahead ${signed(a.aheadMm - b.aheadMm, 2)} mm, left ${signed(a.leftMm - b.leftMm, 2)} mm, ` +
      `yaw ${signed(a.yawDeg - b.yawDeg, 4)} degrees`,
    `  ${pairs.pairs} distances between boards: rms ${pairs.rmsMm.toFixed(2)} mm, ` +
      `worst ${pairs.worstMm.toFixed(2)} mm;`,
    `  of that a common scale of ${signed(pairs.scalePpm, 0)} ppm from laser and ruler; without it ` +
      `rms ${pairs.shapeRmsMm.toFixed(2)} mm, worst ${pairs.shapeWorstMm.toFixed(2)} mm`,
  ];
};

const help = {
  usage: "Usage: npm run demo",
  text: `Measures the invented sample job in ${folder} and prints the result beside the truth. Another job
folder: npm run --silent measure -- <job-folder>`,
};

const main = async (): Promise<number> => {
  const read = readArguments(help, {}, null);
  if (!read.ok) return read.status;
  const { ports, close } = nodePorts();
  return orUnusable(async () => {
    const input = await readJobFolder(folder);
    const truth = truthSchema.parse(JSON.parse(readFileSync(`${folder}/truth.json`, "utf8")));
    const answer = await runJob(input, ports);
    if (!answer.ok) return refuse(answer.remarks);
    const { result } = answer;
    const times = Object.entries(result.timesMs)
      .map(([stage, ms]) => `${stage} ${(ms / 1000).toFixed(2)} s`)
      .join(", ");
    console.log(
      [
        reportText(result),
        "",
        ...comparison(result, truth),
        "",
        ...cameraShare(result, truth),
        "",
        `Time: ${times}`,
      ].join("\n"),
    );
    return 0;
  }, close);
};

process.exitCode = await main();
