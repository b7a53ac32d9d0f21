/**
 * `npm run --silent accept -- <folder> [--json] [--out <file.pdf>] [--note <file.json>]`
 * Exit status 0: pass; 1: fail or not shown; 2: the input cannot be used.
 */
import { readFile, writeFile } from "node:fs/promises";
import { createRequire } from "node:module";
import { join } from "node:path";
import { nodePorts } from "../../workers/node/node-ports.ts";
import { type AcceptanceInput, accept } from "../acceptance/acceptance.ts";
import { certificateOf } from "../acceptance/certificate/certificate.ts";
import { englishCertificate } from "../acceptance/certificate/english.ts";
import {
  type AcceptanceFile,
  acceptanceFormat,
  acceptanceVersion,
} from "../acceptance/file/acceptance-file.ts";
import { parseAcceptance } from "../acceptance/file/parse-acceptance.ts";
import { acceptanceText } from "../acceptance/result/acceptance-text.ts";
import type { AcceptanceResult } from "../acceptance/result/result.ts";
import {
  type CameraKnowledge,
  examineAll,
  type JobPorts,
  knowCamera,
  oneLens,
} from "../job/run/run.ts";
import { writePdf } from "../record/pdf/write-pdf.ts";
import { readArguments } from "./arguments.ts";
import {
  cameraOf,
  needFolder,
  needFormat,
  photosIn,
  readJson,
  UnusableInput,
} from "./job-folder.ts";
import { orUnusable, refuse } from "./refuse.ts";
import { print, printJson } from "./terminal.ts";

const help = {
  usage:
    "Usage: npm run --silent accept -- <folder> [--json] [--out <file.pdf>] [--note <file.json>]",
  text: `Puts the shop's own phone, prints and boards to an acceptance test. The folder holds
acceptance.json, a folder with photos for every round, and camera/ with photos of the camera sheet or
a saved camera profile (another folder where a round names one).

  --json              print the whole result as one JSON document
  --out <file.pdf>    write the certificate, one page
  --note <file.json>  write what jobs carry of this test, for "acceptance.last" in job.json

Exit status: 0 pass; 1 fail or not shown; 2 the input cannot be used.`,
};

const options = {
  json: { type: "boolean", default: false },
  out: { type: "string" },
  note: { type: "string" },
} as const;

const readFileOf = async (folder: string): Promise<AcceptanceFile> => {
  await needFolder(folder, "Name the folder of the acceptance test.");
  const file = join(folder, "acceptance.json");
  const raw = await readJson(file, "The folder of an acceptance test holds it.");
  needFormat(file, raw, { format: acceptanceFormat, version: acceptanceVersion });
  const parsed = parseAcceptance(raw);
  if (parsed.ok) return parsed.file;
  throw new UnusableInput(
    [`${file} cannot be used:`, ...parsed.problems.map((p) => `  ${p}`)].join("\n"),
  );
};

/** A folder named in the file lies inside the test's own folder. */
const inside = (folder: string, name: string): string => {
  if (/(^|[\\/])\.\.([\\/]|$)|^[\\/]/.test(name))
    throw new UnusableInput(`"${name}" leads out of ${folder}. Name a folder inside it.`);
  return join(folder, name);
};

/** What is known of each camera folder, learnt once. */
const cameras = (folder: string, ports: JobPorts) => {
  const known = new Map<string, Promise<CameraKnowledge | null>>();
  const learn = async (name: string): Promise<CameraKnowledge | null> => {
    const answer = await knowCamera(await cameraOf(inside(folder, name)), ports, {});
    if (answer === null) return null;
    if (answer.ok) return answer.camera;
    const why = answer.remarks.map(({ message, remedy }) => `${message} ${remedy}`.trim());
    throw new UnusableInput([`${name}:`, ...why].join("\n  "));
  };
  return (name: string): Promise<CameraKnowledge | null> => {
    const asked = known.get(name) ?? learn(name);
    known.set(name, asked);
    return asked;
  };
};

const readRounds = async (
  folder: string,
  file: AcceptanceFile,
  ports: JobPorts,
): Promise<AcceptanceInput["rounds"]> => {
  const cameraFor = cameras(folder, ports);
  const rounds: AcceptanceInput["rounds"][number][] = [];
  for (const { name, photos, camera } of file.rounds) {
    const found = await photosIn(inside(folder, photos));
    if (!found || found.length === 0)
      throw new UnusableInput(`${join(folder, photos)} holds no photos for "${name}".`);
    const known = await cameraFor(camera);
    // Phones count their photos alike: the round's folder tells two of one name apart.
    const named = found.map(({ name: of, read }) => ({ name: `${photos}/${of}`, read }));
    const lens = known?.profile.lens ?? null;
    const outcomes = await examineAll(named, "boards", oneLens(lens), ports, {}, "photos");
    rounds.push({ camera: known, outcomes });
  }
  return rounds;
};

const font = async (weight: "400Regular" | "700Bold"): Promise<Uint8Array> =>
  readFile(
    createRequire(import.meta.url).resolve(
      `@expo-google-fonts/atkinson-hyperlegible-next/${weight}/AtkinsonHyperlegibleNext_${weight}.ttf`,
    ),
  );

const write = async (name: string, what: string, bytes: Uint8Array | string): Promise<void> => {
  try {
    await writeFile(name, bytes);
  } catch (error) {
    const reason = error instanceof Error ? error.message : String(error);
    throw new UnusableInput(`${what} cannot be written to ${name}: ${reason}.`);
  }
};

const certificate = async (result: AcceptanceResult, everyDays: number): Promise<Uint8Array> => {
  const paper = certificateOf(result, everyDays, "a4", englishCertificate);
  const fonts = { regular: await font("400Regular"), bold: await font("700Bold") };
  return writePdf(paper, fonts, new Map());
};

const main = async (): Promise<number> => {
  const read = readArguments(help, options, "one folder");
  if (!read.ok) return read.status;
  const [folder] = read.names;
  const { json, out, note } = read.values;
  const { ports, close } = nodePorts();
  return orUnusable(async () => {
    const file = await readFileOf(folder);
    const rounds = await readRounds(folder, file, ports);
    const answer = accept({ file, rounds, testedAt: ports.today() });
    if (!answer.ok) return refuse(answer.remarks);
    const { result } = answer;
    if (out !== undefined)
      await write(out, "The certificate", await certificate(result, file.everyDays));
    if (note !== undefined)
      await write(note, "The note", `${JSON.stringify(result.note, null, 2)}\n`);
    if (json) printJson(result);
    else print(acceptanceText(result));
    return result.outcome === "pass" ? 0 : 1;
  }, close);
};

process.exitCode = await main();
