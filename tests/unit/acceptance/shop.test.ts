/** Simulated shops through the whole acceptance: what a pass needs, and what takes it away. */
import { readdirSync, readFileSync } from "node:fs";
import { beforeAll, describe, expect, test } from "vitest";
import { type AcceptanceInput, accept } from "../../../src/acceptance/acceptance.ts";
import { certificateOf, validUntil } from "../../../src/acceptance/certificate/certificate.ts";
import { englishCertificate } from "../../../src/acceptance/certificate/english.ts";
import { parseAcceptance } from "../../../src/acceptance/file/parse-acceptance.ts";
import {
  type AcceptanceResult,
  acceptanceResultSchema,
} from "../../../src/acceptance/result/result.ts";
import { acceptanceSchemas } from "../../../src/acceptance/schemas.ts";
import { learnCamera } from "../../../src/job/run/learn-camera.ts";
import { tracedShop } from "../../bench/accept/judge-shop.ts";
import { drawShop } from "../../bench/accept/shop.ts";

const shop = drawShop(4, "none", 9);
const fileWith = (change: Record<string, unknown> = {}) => {
  const parsed = parseAcceptance({ ...shop.file, rounds: rounds(2), ...change });
  if (!parsed.ok) throw new Error(parsed.problems.join("\n"));
  return parsed.file;
};
const rounds = (count: number) => (shop.file.rounds as unknown[]).slice(0, count);

let input: AcceptanceInput;
let result: AcceptanceResult;
const run = (change: Partial<AcceptanceInput>): AcceptanceResult => {
  const answer = accept({ ...input, ...change });
  if (!answer.ok) throw new Error(answer.remarks.map(({ message }) => message).join("\n"));
  return answer.result;
};
const codes = ({ heldBack }: AcceptanceResult) => heldBack.map(({ code }) => code);

beforeAll(() => {
  const views = tracedShop(shop);
  const camera = learnCamera(views.sheet(0), "2026-01-02");
  if (!camera.ok) throw new Error("no camera");
  input = {
    file: fileWith(),
    rounds: [0, 1].map((at) => ({
      camera: camera.camera,
      outcomes: views.photos(at, camera.camera),
    })),
    testedAt: "2026-01-02T03:04:05Z",
  };
  result = run({});
}, 120_000);

describe("an acceptance test", () => {
  test("passes a shop in order, and its errors are the true ones within the references", () => {
    expect(result.outcome).toBe("pass");
    expect(result.heldBack).toEqual([]);
    for (const { from, to, referenceExpandedMm, errors } of result.lengths)
      for (const { measuredMm, errorMm, statedExpandedMm } of errors) {
        const exact = shop.trueLength(from, to);
        expect(Math.abs(measuredMm - exact)).toBeLessThan(2 * statedExpandedMm);
        expect(Math.abs(errorMm - (measuredMm - exact))).toBeLessThan(2 * referenceExpandedMm);
      }
    expect(acceptanceResultSchema.safeParse(JSON.parse(JSON.stringify(result))).success).toBe(true);
  });

  test("tells the layout as it is", () => {
    const { layout } = result;
    // Corners of 2 x 2 x 1.5 m: the diagonal is 3202 mm, places are shaken by some cm.
    expect(layout.diagonalMm).toBeGreaterThan(3050);
    expect(layout.diagonalMm).toBeLessThan(3400);
    expect(layout.directions).toBeGreaterThanOrEqual(4);
  });

  test("fails where a length is off, and is not shown where the limit is too narrow to tell", () => {
    const lengths = input.file.lengths.map((length, i) =>
      i === 0 ? { ...length, readingsMm: length.readingsMm.map((mm) => mm + 10) } : length,
    );
    expect(run({ file: { ...input.file, lengths } }).outcome).toBe("fail");
    const limits = { fixedMm: 0.3, perMetreMm: 0 };
    expect(run({ file: { ...input.file, limits } }).outcome).not.toBe("pass");
  });

  test("the photos of the first round given again prove nothing", () => {
    const [first] = input.rounds;
    const again = {
      ...first,
      outcomes: first.outcomes.map((outcome) =>
        outcome.ok
          ? {
              ...outcome,
              findings: { ...outcome.findings, name: `again/${outcome.findings.name}` },
            }
          : outcome,
      ),
    };
    const { outcome, repeatability, heldBack } = run({ rounds: [first, again] });
    expect(outcome).toBe("not shown");
    expect(repeatability).toBeNull();
    expect(heldBack.map(({ code }) => code)).toContain("accept-round-failed");
  });

  test("one round, few lengths or one instrument for everything do not make a pass", () => {
    const single = { file: fileWith({ rounds: rounds(1) }), rounds: input.rounds.slice(0, 1) };
    expect(codes(run(single))).toContain("accept-one-round");
    const few = { ...input.file, lengths: input.file.lengths.slice(0, 3) };
    expect(codes(run({ file: few }))).toEqual(expect.arrayContaining(["accept-few-lengths"]));
    const scale = input.file.scale.map((length) => ({ ...length, instrument: "tape" }));
    const lengths = input.file.lengths.filter(({ instrument }) => instrument === "tape");
    expect(codes(run({ file: { ...input.file, scale, lengths } }))).toContain(
      "accept-same-instrument",
    );
  });

  test("a worn hook is the tape's fault, not the phone's", () => {
    const lengths = input.file.lengths.map((length) =>
      length.instrument === "tape"
        ? { ...length, readingsMm: length.readingsMm.map((mm) => mm - 6) }
        : length,
    );
    const worn = run({ file: { ...input.file, lengths } });
    expect(worn.outcome).toBe("not shown");
    expect(codes(worn)).toContain("accept-zero-error");
  });
});

describe("the certificate", () => {
  test("says when it ends and carries outcome, every length and the cautions", () => {
    expect(validUntil("2026-01-02T03:04:05Z", 365)).toBe("2027-01-02");
    const text = JSON.stringify(certificateOf(result, 365, "a4", englishCertificate));
    expect(text).toContain("2027-01-02");
    for (const { from, to } of result.lengths) expect(text).toContain(`${from} – ${to}`);
    expect(text).toContain("it does not certify");
    const failed = certificateOf({ ...result, outcome: "fail" }, 365, "a4", englishCertificate);
    expect(JSON.stringify(failed)).not.toContain("2027-01-02");
  });
});

describe("published JSON Schemas", () => {
  test("are what the sources say (npm run schemas writes them)", () => {
    const published = acceptanceSchemas();
    expect(readdirSync("src/acceptance/schemas").sort()).toEqual(
      Object.keys(published)
        .map((name) => `${name}.schema.json`)
        .sort(),
    );
    for (const [name, schema] of Object.entries(published)) {
      const text = readFileSync(`src/acceptance/schemas/${name}.schema.json`, "utf8");
      expect(JSON.parse(text), name).toEqual(JSON.parse(JSON.stringify(schema)));
    }
  });
});
