/**
 * `npm run docs:errors` writes src/job/error-costs.md: what each kind of error costs at the target of
 * the demo's bay, computed. Features are those of the demo without pixels; each error is put into the
 * job (or into what the photos show) and the whole job is solved again.
 */
import { writeFileSync } from "node:fs";
import type { PhotoOutcome } from "../../src/detect/findings/findings.ts";
import type { JobFile } from "../../src/job/file/job-file.ts";
import type { Result } from "../../src/job/result/result.ts";
import { learnCamera } from "../../src/job/run/learn-camera.ts";
import type { CameraKnowledge } from "../../src/job/run/run.ts";
import { solveJob } from "../../src/job/solve/solve.ts";
import { sampleJob, simulateSample } from "./simulated-job.ts";

const { sheet, photos } = simulateSample({ seed: 1, sigmaPx: 0.02 });
const learnt = learnCamera(sheet, "2026-01-02");
if (!learnt.ok) throw new Error("The demo's camera step gives no lens.");

interface Case {
  readonly job?: (job: JobFile) => JobFile;
  readonly camera?: (camera: CameraKnowledge) => CameraKnowledge;
  readonly outcomes?: readonly PhotoOutcome[];
}

const solve = ({ job = (j) => j, camera = (c) => c, outcomes = photos }: Case): Result => {
  const answer = solveJob({
    job: job(sampleJob()),
    camera: camera(learnt.camera),
    outcomes,
    measuredAt: "2026-01-02T03:04:05Z",
  });
  if (!answer.ok) throw new Error(answer.remarks.map(({ message }) => message).join(" "));
  return answer.result;
};

const exact = solve({});
const shown = exact.checks.slice(0, 4);

const withLens = (change: (lens: CameraKnowledge["profile"]["lens"]) => object): Case => ({
  camera: (camera) => ({
    ...camera,
    profile: {
      ...camera.profile,
      lens: { ...camera.profile.lens, ...change(camera.profile.lens) },
    },
  }),
});
const moved = (shifts: Readonly<Record<number, readonly [number, number, number]>>): Case => ({
  outcomes: simulateSample({ seed: 1, sigmaPx: 0.02, shifts }).photos,
});
const printed = (horizontal: number, vertical: number): Case => ({
  job: (job) => {
    const check = job.boards.printCheck;
    if (!check) return job;
    const bar = ({ nominalMm, readingMm }: typeof check.horizontal, share: number) => ({
      nominalMm,
      readingMm: readingMm * (1 + share),
    });
    const printCheck = {
      ...check,
      horizontal: bar(check.horizontal, horizontal),
      vertical: bar(check.vertical, vertical),
    };
    return { ...job, boards: { ...job.boards, printCheck } };
  },
});
const lengths = (mm: number): Case => ({
  job: (job) => ({
    ...job,
    lengths: job.lengths.map((length) => ({ ...length, lengthMm: length.lengthMm + mm })),
  }),
});

/** What goes wrong, in words of the bay, and how it is put in. */
const cases: readonly (readonly [string, string, Case])[] = [
  ["plates", "front left plate centred 1 mm too high", moved({ 1: [0, 0, 1] })],
  ["plates", "front left plate 1 mm too far ahead of its hub", moved({ 1: [1, 0, 0] })],
  ["plates", "both rear plates 1 mm too far to the left", moved({ 3: [0, 1, 0], 4: [0, 1, 0] })],
  [
    "plates",
    "stand-off of all plates stated 2 mm too large",
    {
      job: (job) => ({
        ...job,
        wheelPlates: { ...job.wheelPlates, standOffMm: job.wheelPlates.standOffMm + 2 },
      }),
    },
  ],
  ["floor", "one floor board by the target on a 3 mm lump", moved({ 11: [0, 0, 3] })],
  ["print", "both check bars read 0.2 mm too long", printed(0.001, 0.001)],
  ["print", "vertical bar alone read 0.2 mm too long", printed(0, 0.001)],
  ["tape", "all measured lengths 2 mm too long", lengths(2)],
  [
    "lens",
    "focal length of the profile 0.1 % too long",
    withLens(({ fx, fy }) => ({ fx: fx * 1.001, fy: fy * 1.001 })),
  ],
  [
    "lens",
    "principal point of the profile 3 px to the right",
    withLens(({ cx }) => ({ cx: cx + 3 })),
  ],
  [
    "hand",
    "stand knocked 1 mm to the left before the photos",
    moved({ 31: [0, 1, 0], 32: [0, 1, 0] }),
  ],
];

const amount = (value: number, unit: "mm" | "deg"): string =>
  unit === "mm"
    ? `${value >= 0 ? "+" : ""}${value.toFixed(2)}`
    : `${value >= 0 ? "+" : ""}${value.toFixed(3)}°`;

const heads = shown.map(({ label, unit }) => `${label}${unit === "mm" ? ", mm" : ""}`);
const rows = cases.map(([where, what, change]) => {
  const result = solve(change);
  const cells = shown.map((check) => {
    const now = result.checks.find(({ id }) => id === check.id)!;
    return amount(now.measured - check.measured, check.unit);
  });
  return `| ${where} | ${what} | ${cells.join(" | ")} |`;
});

/** Shares of the variance as standard uncertainties, from the budget that the job states. */
const sources = [...new Set(shown.flatMap(({ budget }) => budget.map(({ source }) => source)))];
const budgetRows = sources.map((source) => {
  const cells = shown.map(({ budget, standardUncertainty, unit }) => {
    const share = budget.find((item) => item.source === source)?.share ?? 0;
    const part = Math.sqrt(Math.max(0, share)) * standardUncertainty;
    return unit === "mm" ? part.toFixed(2) : `${part.toFixed(3)}°`;
  });
  return `| ${source} | ${cells.join(" | ")} |`;
});
const totals = shown.map(({ standardUncertainty, unit }) =>
  unit === "mm" ? standardUncertainty.toFixed(2) : `${standardUncertainty.toFixed(3)}°`,
);

const rule = (count: number): string =>
  `| ${Array.from({ length: count }, () => "---").join(" | ")} |`;
const text = `# What an error costs at the target

Written by \`npm run docs:errors\` from the demo's bay (invented): nothing here is typed. An error that the
photos or other statements contradict costs less than it would alone, and shows in the remarks.

## One error at a time

| what | error | ${heads.join(" | ")} |
${rule(2 + heads.length)}
${rows.join("\n")}

## What the job states, standard uncertainties by source

| source | ${heads.join(" | ")} |
${rule(1 + heads.length)}
${budgetRows.join("\n")}
| all together | ${totals.join(" | ")} |
`;
writeFileSync("src/job/error-costs.md", text);
console.log(text);
