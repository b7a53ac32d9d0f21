/** Record archives on disk. */
import { type FileHandle, open } from "node:fs/promises";
import { parseJobFile } from "../job/file/parse-job.ts";
import type { CameraSource, JobInput, PhotoSource } from "../job/run/run.ts";
import { profileSchema } from "../lens/profile.ts";
import { type ByteSource, readAll } from "../record/archive/byte-source.ts";
import { openArchive } from "../record/archive/read-archive.ts";
import { photoFileName } from "../record/archive/record-files.ts";
import type { RecordedPhoto, Revision } from "../record/revision.ts";
import { withheldFileName } from "../record/withheld.ts";
import { UnusableInput } from "./job-folder.ts";

/** Opens a file as bytes that are read piece by piece; throws UnusableInput where it cannot. */
export async function openFile(path: string): Promise<ByteSource & { close(): Promise<void> }> {
  let handle: FileHandle;
  try {
    handle = await open(path, "r");
  } catch (error) {
    const missing = (error as NodeJS.ErrnoException).code === "ENOENT";
    throw new UnusableInput(missing ? `${path} is missing.` : `${path} cannot be read.`);
  }
  const { size } = await handle.stat();
  return {
    size,
    read: async (from, to) => {
      const bytes = new Uint8Array(Math.max(0, Math.min(to, size) - from));
      const { bytesRead } = await handle.read(bytes, 0, bytes.length, from);
      return bytes.subarray(0, bytesRead);
    },
    close: () => handle.close(),
  };
}

/** The inputs of a closed revision, as a measurement wants them; photos are read when needed. */
export async function jobInputOf(source: ByteSource, revision: Revision): Promise<JobInput> {
  const opened = await openArchive(source);
  const files = new Map((opened?.files ?? []).map((file) => [file.name, file]));
  if (files.has(withheldFileName)) {
    throw new UnusableInput(
      "The photos were left out of this archive on purpose: ask for one with the originals.",
    );
  }
  return jobInputFrom(revision, async (photo) => {
    const file = files.get(photoFileName(photo));
    if (!file) throw new Error("it is not in the archive");
    return readAll(source, file.from, file.from + file.size);
  });
}

/** The same, with photos from anywhere; `read` throws where a photo is not to be had. */
export function jobInputFrom(
  { content }: Revision,
  read: (photo: RecordedPhoto) => ReturnType<PhotoSource["read"]>,
): JobInput {
  const parsed = parseJobFile(content.job);
  if (!parsed.ok) throw new UnusableInput(["job.json:", ...parsed.problems].join("\n  "));
  const photos = (purpose: RecordedPhoto["purpose"]): PhotoSource[] =>
    content.photos
      .filter((photo) => photo.purpose === purpose)
      .sort((a, b) => a.name.localeCompare(b.name, "en", { numeric: true }))
      .map((photo) => ({ name: photo.name, read: () => read(photo) }));
  const profile = profileSchema.safeParse(content.camera.profile);
  const camera = {
    "sheet photos": () => ({ kind: "sheet" as const, photos: photos("sheet") }),
    "saved profile": () =>
      profile.success
        ? { kind: "profile" as const, profile: profile.data }
        : { kind: "none" as const },
    "own photos": () => ({ kind: "none" as const }),
  };
  const others = (content.otherCameras ?? []).map(
    ({ profile: kept, phone, alsoOf }): CameraSource => ({
      kind: "profile",
      profile: kept,
      phone,
      alsoOf,
    }),
  );
  return {
    job: parsed.job,
    camera: { ...camera[content.camera.source](), alsoOf: content.camera.alsoOf },
    ...(others.length > 0 && { otherCameras: others }),
    photos: photos("boards"),
  };
}
