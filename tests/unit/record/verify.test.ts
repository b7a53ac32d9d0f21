import { describe, expect, test } from "vitest";
import { bytesAsSource } from "../../../src/record/archive/byte-source.ts";
import { findingSentence } from "../../../src/record/verify/finding.ts";
import { verifyArchive } from "../../../src/record/verify/verify-archive.ts";
import {
  inventedArchive,
  inventedRevisions,
  newKey,
  signedBy,
} from "../../tools/invented-record.ts";
import { countTampering } from "../../tools/tamper.ts";

describe("verification of a record archive", () => {
  test("an untouched archive is intact, and says who signed it", async () => {
    const revisions = inventedRevisions();
    const key = await newKey();
    const archive = await inventedArchive(revisions, [await signedBy(key, revisions[1].sha256)]);
    const { intact, findings, revisions: read } = await verifyArchive(bytesAsSource(archive));
    expect(findings.filter(({ severity }) => severity === "fault")).toEqual([]);
    expect(intact).toBe(true);
    expect(read.map(({ revision }) => revision.number)).toEqual([1, 2]);
    const sentences = findings.map(findingSentence).join("\n");
    expect(sentences).toContain("Revision 2 is signed by Invented shop, phone 1");
    expect(sentences).toContain("Revision 1 is not signed");
  });

  test("a signature of another key is named where a key was asked for", async () => {
    const revisions = inventedRevisions();
    const [mine, other] = [await newKey(), await newKey()];
    const archive = await inventedArchive(revisions, [await signedBy(other, revisions[1].sha256)]);
    const wanted = (await signedBy(mine, revisions[1].sha256)).key;
    const { findings } = await verifyArchive(bytesAsSource(archive), { key: wanted });
    expect(findings.map(({ code }) => code)).toContain("finding.signatureUnknown");
  });

  test("a flipped bit in the plate is called by the plate's name", async () => {
    const archive = await inventedArchive(inventedRevisions(), []);
    const text = Buffer.from(archive).toString("latin1");
    const at = text.indexOf('"plate":"AB 123"') + 9;
    const bytes = archive.slice();
    bytes[at] ^= 1;
    const { findings } = await verifyArchive(bytesAsSource(bytes));
    const parts = findings.filter(({ code }) => code === "finding.partChanged");
    expect(parts.map(({ values }) => values.part)).toContain("content/car/plate");
  });

  test("every case of tampering is named (npm run bench:record tries more)", {
    timeout: 300_000,
  }, async () => {
    const { cases, named, missed } = await countTampering(150, 10);
    expect(missed.slice(0, 5)).toEqual([]);
    expect(named).toBe(cases);
    expect(cases).toBeGreaterThanOrEqual(500);
  });
});
