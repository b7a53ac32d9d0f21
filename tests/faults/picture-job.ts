/** A fault of the pixels: the sample job with some of its photos altered, through the whole program. */
import { execFileSync } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { trueValue, truthSchema } from "../../src/cli/demo-truth.ts";
import { readJobFolder } from "../../src/cli/job-folder.ts";
import type { PhotoOutcome } from "../../src/detect/findings/findings.ts";
import { type CameraAnswer, knowCamera, type PhotoSource } from "../../src/job/run/run.ts";
import { solveJob } from "../../src/job/solve/solve.ts";
import { nodePorts } from "../../workers/node/node-ports.ts";
import { ensureDebian } from "../tools/debian.ts";
import type { Fault } from "./fault.ts";
import { type CheckFacts, type Facts, plain, refusedFacts } from "./judge.ts";

const folder = "sample-images/demo-job";
const script = fileURLToPath(new URL("alter_photo.py", import.meta.url));
const python = "/usr/bin/python3";

/** Photos that no fault changes are examined once. */
const examined = new Map<string, Promise<PhotoOutcome>>();
let camera: Promise<CameraAnswer | null> | null = null;
let ports: ReturnType<typeof nodePorts> | null = null;

/** Lets go of the workers. */
export const closePictures = (): void => ports?.close();

export const runPictureFault = async (fault: Fault, strength: number): Promise<Facts> => {
  ports ??= nodePorts();
  const { examine } = ports.ports;
  const input = await readJobFolder(folder);
  camera ??= knowCamera(input.camera, ports.ports, {});
  const known = await camera;
  if (!known?.ok) throw new Error("the sample's sheet photos must give a lens");
  const { lens } = known.camera.profile;
  const look = async (photo: PhotoSource, bytes?: Uint8Array): Promise<PhotoOutcome> =>
    examine({ name: photo.name, bytes: bytes ?? (await photo.read()), what: "boards", lens });
  const outcomes: PhotoOutcome[] = [];
  for (const [i, photo] of input.photos.entries()) {
    if (fault.picture!.which.includes(i)) {
      outcomes.push(await look(photo, alter(photo.name, fault.picture!.what, strength)));
      continue;
    }
    const before = examined.get(photo.name) ?? look(photo);
    examined.set(photo.name, before);
    outcomes.push(await before);
  }
  const about = { fault: fault.name, strength, seed: 1 };
  const answer = solveJob({
    job: input.job,
    camera: known.camera,
    outcomes,
    measuredAt: "2026-01-02T03:04:05Z",
  });
  const ofPhotos = outcomes.flatMap((one) => (one.ok ? one.findings.remarks : [one.remark]));
  if (!answer.ok) return refusedFacts(about, [...answer.remarks, ...ofPhotos]);
  const { result } = answer;
  return {
    ...about,
    outcome: result.outcome,
    checks: checksBesideTruth(result.checks),
    heldBack: result.heldBack.map(({ code }) => code),
    remarks: [...result.remarks, ...ofPhotos].map(plain),
  };
};

const alter = (name: string, what: string, strength: number): Uint8Array => {
  ensureDebian(hasOpenCv, ["python3-opencv"], "Altered photos");
  const scratch = mkdtempSync(join(tmpdir(), "altered-"));
  const out = join(scratch, "photo.jpg");
  try {
    execFileSync(python, [script, `${folder}/photos/${name}`, out, what, String(strength)]);
    return readFileSync(out);
  } finally {
    rmSync(scratch, { recursive: true, force: true });
  }
};

const hasOpenCv = (): boolean => {
  try {
    execFileSync(python, ["-c", "import cv2"], { stdio: "ignore" });
    return true;
  } catch {
    return false;
  }
};

type Checks = readonly {
  readonly id: string;
  readonly quantity: string;
  readonly verdict: string;
  readonly measured: number;
  readonly expandedUncertainty: number;
  readonly lower: number | null;
  readonly upper: number | null;
}[];

const checksBesideTruth = (checks: Checks): CheckFacts[] => {
  const truths = truthSchema.parse(JSON.parse(readFileSync(`${folder}/truth.json`, "utf8")));
  return checks.map(({ id, quantity, verdict, measured, expandedUncertainty, lower, upper }) => {
    const truth = trueValue(truths, quantity);
    if (truth === null) throw new Error(`the sample's truth does not say its ${quantity}`);
    const trulyInside =
      truth >= (lower ?? Number.NEGATIVE_INFINITY) && truth <= (upper ?? Number.POSITIVE_INFINITY);
    return { id, verdict, measured, expanded: expandedUncertainty, truth, trulyInside };
  });
};
