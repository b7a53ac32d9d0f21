/**
 * After closing, no path through the app changes revision 1: random edits of an open job, photos put
 * aside and thrown away, the job opened again, closed again; then revision 1 is compared byte by byte.
 */
import fc from "fast-check";
import { afterEach, beforeEach, expect, test, vi } from "vitest";
import { inventedResult } from "../../../src/app/fixtures/invented-job.ts";
import { exampleSheets } from "../../../src/placement/sheet/examples/index.ts";
import { fakeLocks, freshPage, jpegFile, plainJob, quickEngine, quickThumbs } from "./app-store.ts";

vi.mock("../../../src/app/photos/thumbs.ts", () => quickThumbs);

beforeEach(() => {
  vi.stubGlobal("navigator", { locks: fakeLocks(), languages: ["en"] });
});
afterEach(() => {
  vi.unstubAllGlobals();
});

const acts = fc.array(
  fc.oneof(
    fc.record({
      kind: fc.constant("type" as const),
      where: fc.constantFrom("plate", "technician", "note", "sheet", "print", "length"),
      text: fc.string({ maxLength: 12 }),
    }),
    fc.record({ kind: fc.constant("put aside" as const), which: fc.nat(5) }),
    fc.record({ kind: fc.constant("move photo" as const), which: fc.nat(5) }),
    fc.record({ kind: fc.constant("add photo" as const), text: fc.string({ minLength: 1 }) }),
    fc.constantFrom(
      { kind: "stand moved" as const },
      { kind: "undo" as const },
      { kind: "reopen" as const },
      { kind: "close again" as const },
      { kind: "edit what was read" as const },
      { kind: "throw photos away" as const },
      { kind: "cover" as const },
      { kind: "restore a backup" as const },
    ),
  ),
  { minLength: 3, maxLength: 14 },
);

/** A job with three photos and a result, closed once. */
async function closedJob() {
  const page = await freshPage();
  const [{ JobSession }, revisions, { hashOf }] = await Promise.all([
    import("../../../src/app/session/job-session.ts"),
    import("../../../src/app/store/records/revisions.ts"),
    import("../../../src/record/sha256.ts"),
  ]);
  const job = plainJob();
  const record = {
    ...job,
    placement: { ...job.placement, sheet: exampleSheets["forward-camera-board"] },
  };
  await page.saveJob(record, { verdict: "not measured", engine: "" });
  const seal = async (file: Blob) => ({
    sha256: hashOf(new Uint8Array(await file.arrayBuffer())),
    takenAt: null,
    zone: null,
    software: null,
    orientation: 1,
  });
  const open = async () => {
    const session = await JobSession.open("job", quickEngine());
    if (!session || !("store" in session)) {
      throw new Error("The job could not be opened.");
    }
    return session;
  };
  const restore = async () => {
    const [out, read, plan, back] = await Promise.all([
      import("../../../src/app/archive/write-backup.ts"),
      import("../../../src/app/archive/read-backup.ts"),
      import("../../../src/app/archive/restore-plan.ts"),
      import("../../../src/app/archive/restore-backup.ts"),
    ]);
    const made = await out.writeBackup("2026-01-01T00:00:00.000Z", () => undefined);
    const found = await read.readBackup(made.blob!, () => undefined);
    if (!found.ok) {
      throw new Error(found.problem);
    }
    await back.restoreBackup(found.content, await plan.planRestore(found.content));
  };
  const cover = async (ids: readonly string[]) => {
    const { saveCovers } = await import("../../../src/app/store/records/covers.ts");
    await saveCovers(new Map(ids.map((id) => [id, []])), "2026-01-01T00:00:00.000Z");
  };
  const close = async (session: Awaited<ReturnType<typeof open>>) =>
    session.closeRecord(await session.prepareClosing(seal), "again");
  return { page, revisions, hashOf, open, close, restore, cover };
}

test("after closing, no path through the app changes revision 1", {
  timeout: 240_000,
}, async () => {
  let closedAgain = 0;
  let photosThrownAway = 0;
  let restored = 0;
  await fc.assert(
    fc.asyncProperty(acts, async (list) => {
      const { page, revisions, hashOf, open, close, restore, cover } = await closedJob();
      let session = await open();
      const place = { purpose: "boards", position: 1, epoch: "before", about: "" } as const;
      const files = ["a", "b", "c"].map((name) => ({ name: `${name}.jpg`, blob: jpegFile(name) }));
      await session.addPhotos(files, place);
      session.store.setState({ result: { inputs: "x", result: inventedResult } });
      expect(await close(session)).toBe(true);
      const [first] = session.store.getState().revisions;
      const before = await revisions.loadRevision(first.sha256);
      const text = new TextDecoder().decode(before!.bytes);
      const plate = before!.revision.content.car.plate;

      for (const act of list) {
        const { photos } = session.store.getState();
        const which = "which" in act ? photos[act.which % Math.max(1, photos.length)] : undefined;
        if (act.kind === "type") session.update((job) => typed(job, act.where, act.text));
        if (act.kind === "put aside" && which) session.removePhotos([which.id]);
        if (act.kind === "move photo" && which) session.placePhotos([which.id], { epoch: "after" });
        if (act.kind === "add photo") {
          await session.addPhotos([{ name: "n.jpg", blob: jpegFile(`new ${act.text}`) }], place);
        }
        if (act.kind === "stand moved") session.beginSetup();
        if (act.kind === "undo") session.undoRemove();
        if (act.kind === "edit what was read") {
          const read = await revisions.loadRevision(first.sha256);
          (read!.revision.content.car as { plate: string }).plate = "forged";
          read!.bytes.fill(0);
        }
        if (act.kind === "throw photos away") {
          await settled();
          await page.deletePhotos(first.photos.map(({ id }) => id));
        }
        if (act.kind === "cover") await cover(first.photos.map(({ id }) => id));
        if (act.kind === "restore a backup") {
          await settled();
          await restore();
          restored++;
        }
        if (act.kind === "close again") {
          await settled();
          closedAgain += (await close(session)) ? 1 : 0;
        }
        if (act.kind === "reopen") {
          await settled();
          const aside = session.store.getState().photos.filter(({ removed }) => removed).length;
          session.close();
          session = await open();
          photosThrownAway += aside;
        }
      }
      await settled();
      session.close();

      const after = await revisions.loadRevision(first.sha256);
      expect(new TextDecoder().decode(after!.bytes)).toBe(text);
      expect(after!.revision.content.car.plate).toBe(plate);
      // The photos that it rests on are there, byte for byte.
      for (const { id, sha256 } of first.photos) {
        const blob = await page.photoBytes(id);
        expect(hashOf(new Uint8Array(await blob!.arrayBuffer()))).toBe(sha256);
      }
      // All further revisions follow on it.
      const all = await revisions.listRevisions("job");
      expect(all.map(({ number }) => number)).toEqual(all.map((_, i) => i + 1));
      expect(all[0].sha256).toBe(first.sha256);
    }),
    { numRuns: 40, seed: 1 },
  );
  // The random paths did go where they could have done harm.
  expect(closedAgain).toBeGreaterThan(2);
  expect(photosThrownAway).toBeGreaterThan(2);
  expect(restored).toBeGreaterThan(5);
});

test("deleting a job for good leaves nothing of a record but its place in the chain", async () => {
  const { page, revisions, open, close } = await closedJob();
  const session = await open();
  await close(session);
  const [first] = session.store.getState().revisions;
  session.close();
  await settled();
  await page.deleteJob("job");
  expect(await revisions.loadRevision(first.sha256)).toBeNull();
  expect(await revisions.listRevisions("job")).toEqual([]);
  const db = await page.database();
  const left = await db.getAll("revisionEntries");
  expect(left).toEqual([{ version: 1, deleted: true, sha256: first.sha256, sequence: 1 }]);
  // The next record follows on it.
  expect(await revisions.nextLink()).toMatchObject({ sequence: 2, previous: first.sha256 });
});

/** Writes of the store come a moment later. */
const settled = () => new Promise((resolve) => setTimeout(resolve, 10));

type Job = ReturnType<typeof plainJob>;

function typed(job: Job, where: string, text: string): Job {
  switch (where) {
    case "plate":
      return { ...job, car: { ...job.car, plate: text } };
    case "technician":
      return { ...job, record: { ...job.record, technician: text } };
    case "note":
      return { ...job, record: { ...job.record, note: text, closedAt: null } };
    case "sheet":
      return { ...job, placement: { ...job.placement, sheet: { title: text } } };
    case "print":
      return { ...job, boards: { ...job.boards, readingSdMm: text.length } };
    default:
      return { ...job, boards: { ...job.boards, lengths: [] } };
  }
}
