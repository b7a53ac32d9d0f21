/** A record archive of another device opens as a job, with its closed revisions as they were. */
import { expect, test, vi } from "vitest";
import { hashOf } from "../../../src/record/sha256.ts";
import {
  inventedArchive,
  inventedRevisions,
  newKey,
  signedBy,
} from "../../tools/invented-record.ts";
import { freshPage, quickThumbs } from "./app-store.ts";

vi.mock("../../../src/app/photos/thumbs.ts", () => quickThumbs);

const fingerprint = (photo: Blob): Promise<string> => photo.text();

async function opened(change: (bytes: Uint8Array) => void = () => undefined) {
  const page = await freshPage();
  const [{ importJob }, revisions] = await Promise.all([
    import("../../../src/app/archive/import-job.ts"),
    import("../../../src/app/store/records/revisions.ts"),
  ]);
  const sealed = inventedRevisions();
  const signature = await signedBy(await newKey(), sealed[1].sha256);
  const bytes = Uint8Array.from(await inventedArchive(sealed, [signature]));
  change(bytes);
  const outcome = await importJob(new Blob([bytes]), fingerprint);
  return { page, revisions, sealed, outcome };
}

test("a record archive opens as a job with its closed revisions", async () => {
  const { page, revisions, sealed, outcome } = await opened();
  expect(outcome).toMatchObject({ ok: true });
  const id = outcome.ok ? outcome.id : "";
  const job = await page.loadJob(id);
  expect(job).toMatchObject({
    car: { plate: "AB 123", customer: "Ñandú Ltd." },
    record: { technician: "M. Muster", attachments: [{ name: "report.txt" }] },
  });
  expect(job?.car.checks.tyres).toMatchObject({ state: "done", note: "2.3 bar" });
  const entries = await revisions.listRevisions(id);
  expect(entries.map(({ sha256 }) => sha256)).toEqual(sealed.map(({ sha256 }) => sha256));
  for (const { sha256, bytes } of sealed) {
    expect((await revisions.loadRevision(sha256))?.bytes).toEqual(bytes);
  }
  expect(await revisions.loadSignature(sealed[1].sha256)).toContain("plumbshot-signature");
});

test("what only an earlier revision rests on comes along, and goes out again", async () => {
  const { page, revisions, sealed, outcome } = await opened();
  const id = outcome.ok ? outcome.id : "";
  const [first] = await revisions.listRevisions(id);
  // b.jpg is in revision 1 only; it lay in objects/ and is not among the job's photos.
  const b = sealed[0].revision.content.photos.find(({ name }) => name === "b.jpg")!;
  const stored = first.photos.find(({ sha256 }) => sha256 === b.sha256);
  const bytes = new Uint8Array(await (await page.photoBytes(stored?.id ?? ""))!.arrayBuffer());
  expect(hashOf(bytes)).toBe(b.sha256);
  const listed = await page.listPhotos(id);
  // The other files of this archive are no photos and are left out; this one is put aside.
  expect(listed.map(({ name, removed }) => [name, removed])).toEqual([["b.jpg", true]]);
  // Opening and leaving the job throws nothing of it away.
  await page.deletePhotos(listed.filter(({ removed }) => removed).map((photo) => photo.id));
  expect(await page.photoBytes(stored!.id)).not.toBeNull();
});

test("an object that is not what its name says is not taken in", async () => {
  const { outcome } = await opened((bytes) => {
    const at = Buffer.from(bytes).lastIndexOf("not a photo, b.jpg");
    expect(at).toBeGreaterThan(0);
    bytes[at] ^= 1;
  });
  expect(outcome.ok).toBe(false);
});

test("a record that was changed is not taken in", async () => {
  const { outcome } = await opened((bytes) => {
    const at = Buffer.from(bytes).indexOf('"plate":"AB 123"') + 9;
    bytes[at] ^= 1;
  });
  // The container's check sum tells it already; nothing is stored either way.
  expect(outcome.ok).toBe(false);
});
