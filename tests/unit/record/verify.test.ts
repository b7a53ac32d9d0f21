import { describe, expect, test } from "vitest";
import { bytesAsSource } from "../../../src/record/archive/byte-source.ts";
import { recordArchiveFiles } from "../../../src/record/archive/record-archive.ts";
import { canonicalText } from "../../../src/record/canonical.ts";
import { findingSentence } from "../../../src/record/verify/finding.ts";
import { verifyArchive } from "../../../src/record/verify/verify-archive.ts";
import {
  inventedArchive,
  inventedObjects,
  inventedRevisions,
  newKey,
  packed,
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

describe("an archive without the original photos", () => {
  const withheldArchive = async () => {
    const revisions = inventedRevisions();
    const objects = inventedObjects();
    const copies = new Map([
      ["copies/photos/a.jpg", new TextEncoder().encode("a covered copy")],
      ["copies/photos/late.jpg", new TextEncoder().encode("another covered copy")],
    ]);
    const instead = { kind: "covered", files: copies } as const;
    const files = recordArchiveFiles(
      revisions,
      new Map(),
      (sha256) => bytesAsSource(objects.get(sha256)!),
      instead,
    );
    return { files, bytes: await packed(files) };
  };

  test("is intact, and says that photos are withheld and copies prove nothing", async () => {
    const { bytes } = await withheldArchive();
    const { intact, findings } = await verifyArchive(bytesAsSource(bytes));
    expect(findings.filter(({ severity }) => severity === "fault")).toEqual([]);
    expect(intact).toBe(true);
    const words = findings.map(findingSentence).join("\n");
    expect(words).toContain("4 photos are not in this archive, on purpose");
    expect(words).toContain("2 copies stand in for them");
    // No byte of any photo is in it; the attached report is.
    const inside = (name: string) => Buffer.from(bytes).includes(`not a photo, ${name} `);
    expect(["a.jpg", "b.jpg", "late.jpg", "sheet-1.jpg"].filter(inside)).toEqual([]);
    expect(inside("report.txt")).toBe(true);
  });

  test("one file less, a copy exchanged or a shorter list is named, packed anew or not", async () => {
    const { files } = await withheldArchive();
    const text = async (name: string) => {
      const { source } = files.find((file) => file.name === name)!;
      return new TextDecoder().decode(await source.read(0, source.size));
    };
    const withText = (name: string, words: string) =>
      files.map((file) =>
        file.name === name
          ? { name, source: bytesAsSource(new TextEncoder().encode(words)) }
          : file,
      );
    const statement = JSON.parse(await text("withheld.json"));
    const shorter = canonicalText({ ...statement, photos: statement.photos.slice(1) });
    const cases = [
      [withText("copies/photos/a.jpg", "somebody else's picture"), "copies/photos/a.jpg"],
      [withText("withheld.json", shorter), "withheld.json"],
      [withText("withheld.json", `${await text("withheld.json")} `), "withheld.json"],
      [files.filter(({ name }) => name !== "copies/photos/late.jpg"), "copies/photos/late.jpg"],
      // Without the statement the photos are simply missing.
      [files.filter(({ name }) => name !== "withheld.json"), "photos/a.jpg"],
    ] as const;
    for (const [changed, named] of cases) {
      const { intact, findings } = await verifyArchive(bytesAsSource(await packed(changed)));
      const faults = findings.filter(({ severity }) => severity === "fault");
      expect(faults.map(({ file }) => file)).toContain(named);
      expect(intact).toBe(false);
    }
  });
});

test("a revision without a signature is a fault where a key was asked for", async () => {
  const revisions = inventedRevisions();
  const key = await newKey();
  const signature = await signedBy(key, revisions[1].sha256);
  const archive = await inventedArchive(revisions, [signature]);
  const asked = await verifyArchive(bytesAsSource(archive), { key: signature.key });
  expect(asked.intact).toBe(false);
  const missing = asked.findings.filter(({ code }) => code === "finding.signatureMissing");
  expect(missing.map(({ values }) => values.number)).toEqual([1]);
  // Nobody asked: it is only said.
  expect((await verifyArchive(bytesAsSource(archive))).intact).toBe(true);
});
