import { z } from "zod";
import { thumbs } from "../photos/thumbs.ts";
import { recordWithJobFile } from "../state/job-file.ts";
import { newId } from "../store/database/database.ts";
import type { PhotoRecord, Settings } from "../store/database/schema.ts";
import { saveJob } from "../store/jobs.ts";
import { notMeasured } from "../store/listings.ts";
import { newJob } from "../store/new-job.ts";
import { addPhoto } from "../store/photos.ts";
import { inWords } from "./in-words.ts";

/** What the build writes beside the copied sample photos. */
const demoIndexSchema = z.object({
  job: z.record(z.string(), z.unknown()),
  camera: z.array(z.string()),
  photos: z.array(z.string()),
});

/**
 * Makes a job from the sample photos: copied to this device like photos of one's own, then
 * measured like any other job. `say` puts its texts into the chosen language. Returns the new job's
 * id; `onProgress` runs from 0 to 1.
 */
export async function openDemoJob(
  settings: Settings,
  say: (english: string) => string,
  onProgress: (share: number) => void,
): Promise<string> {
  const base = new URL("demo/", document.baseURI);
  const index = demoIndexSchema.parse(await (await get(new URL("index.json", base))).json());
  const now = new Date().toISOString();
  const sample = inWords(index.job, say) as typeof index.job;
  const blank = recordWithJobFile(newJob(settings, now), sample);
  const vehicle = (sample.placement as { vehicle?: string } | null)?.vehicle ?? "";
  const job = {
    ...blank,
    invented: true,
    car: { ...blank.car, description: vehicle, reason: "windscreen" },
  };
  const files = [
    ...index.camera.map((name) => ({ folder: "camera", name, purpose: "sheet" as const })),
    ...index.photos.map((name) => ({ folder: "photos", name, purpose: "boards" as const })),
  ];
  for (const [done, file] of files.entries()) {
    const blob = await (await get(new URL(`${file.folder}/${file.name}`, base))).blob();
    const photo: PhotoRecord = {
      id: newId(),
      jobId: job.id,
      name: file.name,
      purpose: file.purpose,
      position: 1,
      setup: 1,
      epoch: "before",
      about: "",
      addedAt: new Date().toISOString(),
      byteLength: blob.size,
      fingerprint: await thumbs().fingerprint(blob),
      thumb: null,
      removed: false,
    };
    await addPhoto(photo, blob);
    onProgress((done + 1) / files.length);
  }
  await saveJob(job, notMeasured);
  return job.id;
}

async function get(url: URL): Promise<Response> {
  const response = await fetch(url);
  if (!response.ok) {
    throw new Error(`${url.pathname}: ${response.status}`);
  }
  return response;
}
