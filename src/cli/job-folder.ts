import { readdir, readFile, stat } from "node:fs/promises";
import { basename, extname, join } from "node:path";
import { jsonProblems, readJson as readBounded } from "../job/file/bounded-json.ts";
import { jobFileVersion } from "../job/file/job-file.ts";
import { jobTargetOf } from "../job/file/library-target.ts";
import { parseJobFile } from "../job/file/parse-job.ts";
import type { CameraSource, JobInput, PhotoSource } from "../job/run/run.ts";
import { type CameraProfile, readProfile } from "../lens/profile.ts";
import { placementFormat, placementVersion } from "../placement/sheet/sheet.ts";
import { targetLibraryFormat, targetLibrarySchema } from "../placement/target/target-library.ts";
import { plainName } from "../say/plain-text.ts";

/** A reason why a folder cannot be used, in sentences for standard error. */
export class UnusableInput extends Error {}

const ignored = new Set([".json", ".md", ".txt"]);

const listFiles = async (folder: string): Promise<string[] | null> => {
  try {
    const entries = await readdir(folder, { withFileTypes: true });
    const shown = entries.filter(({ name }) => !name.startsWith("."));
    const isFile = await Promise.all(
      shown.map((entry) =>
        entry.isSymbolicLink() ? leadsToFile(join(folder, entry.name)) : entry.isFile(),
      ),
    );
    return shown
      .filter((_, at) => isFile[at])
      .map((entry) => entry.name)
      .sort((a, b) => a.localeCompare(b, "en", { numeric: true }));
  } catch {
    return null;
  }
};

/** A link that leads nowhere counts as a file: reading it says so, by its name. */
const leadsToFile = (link: string): Promise<boolean> =>
  stat(link).then(
    (target) => target.isFile(),
    () => true,
  );

/** The photos of a folder, in name order; null where the folder does not exist. */
export const photosIn = async (folder: string): Promise<PhotoSource[] | null> => {
  const names = await listFiles(folder);
  return (
    names
      ?.filter((name) => !ignored.has(extname(name).toLowerCase()))
      .map((name) => ({ name: plainName(name), read: async () => readFile(join(folder, name)) })) ??
    null
  );
};

/** Throws UnusableInput, with what to do, where this is no folder. */
export const needFolder = async (folder: string, remedy: string): Promise<void> => {
  const isFolder = await stat(folder).then(
    (entry) => entry.isDirectory(),
    () => false,
  );
  if (!isFolder) throw new UnusableInput(`${folder} is not a folder. ${remedy}`);
};

/**
 * A JSON file; throws UnusableInput with the reason where it is missing or no JSON. `remedy` says
 * what to do about a missing one.
 */
export const readJson = async (file: string, remedy = ""): Promise<unknown> => {
  let text: string;
  try {
    text = await readFile(file, "utf8");
  } catch (error) {
    const missing = (error as NodeJS.ErrnoException).code === "ENOENT";
    const reason = missing ? "is missing" : `cannot be read (${(error as Error).message})`;
    throw new UnusableInput(`${file} ${reason}. ${missing ? remedy : ""}`.trimEnd());
  }
  const reading = readBounded(text.replace(/^\uFEFF/, ""));
  if (!reading.ok) {
    const { problem, reason } = reading;
    throw new UnusableInput(`${file} ${jsonProblems[problem]}${reason && `: ${reason}`}.`);
  }
  return reading.value;
};

/** Throws UnusableInput where a file is of another format, or of another version of this one. */
export const needFormat = (
  file: string,
  raw: unknown,
  { format, version }: { readonly format: string; readonly version: number },
): void => {
  const head = (typeof raw === "object" ? raw : null) as Record<string, unknown> | null;
  if (head?.format !== format) {
    const found =
      head?.format === undefined ? "there is none" : `it is ${JSON.stringify(head.format)}`;
    throw new UnusableInput(
      `${file} is another kind of file: "format" must be "${format}", and ${found}.`,
    );
  }
  if (typeof head.version === "number" && head.version > version)
    throw new UnusableInput(
      `${file} was written by a newer Plumbshot (version ${head.version} of this kind of file; this ` +
        `one reads version ${version}). Bring this Plumbshot up to date.`,
    );
};

/** A camera folder with one lens: sheet photos, a saved profile, or nothing. */
export const cameraOf = async (folder: string): Promise<CameraSource> => {
  const [only = nothing, ...others] = await camerasIn(folder);
  if (others.length > 0)
    throw new UnusableInput(`${folder} holds ${others.length + 1} cameras. Keep one.`);
  return { ...only, phone: undefined };
};

const nothing: CameraSource = { kind: "none" };

/**
 * The lenses of a camera folder. One phone: its sheet photos or a saved profile. Several phones: a
 * profile for each, or a folder each with sheet photos or a profile; their names are the phones'.
 */
export const camerasIn = async (folder: string): Promise<CameraSource[]> => {
  const names = (await listFiles(folder)) ?? [];
  const folders = await foldersIn(folder);
  const saved = names.filter((name) => extname(name).toLowerCase() === ".json");
  const photos = (await photosIn(folder)) ?? [];
  const ofPhones: CameraSource[] = [];
  for (const phone of folders) {
    const source = await cameraOf(join(folder, phone));
    if (source.kind !== "none") ofPhones.push({ ...source, phone });
  }
  // Photos beside folders of phones are those of the phone that the job says nothing about.
  if (photos.length > 0) return [{ kind: "sheet", photos }, ...ofPhones];
  const profiles: CameraSource[] = [];
  for (const name of saved) {
    const profile = await profileIn(join(folder, name));
    profiles.push({ kind: "profile", profile, phone: basename(name, extname(name)) });
  }
  return [...profiles, ...ofPhones];
};

const profileIn = async (file: string): Promise<CameraProfile> => {
  const read = readProfile(await readJson(file), file);
  if (!read.ok) throw new UnusableInput(`${read.remark.message} ${read.remark.remedy}`);
  return read.profile;
};

const foldersIn = async (folder: string): Promise<string[]> => {
  const entries = await readdir(folder, { withFileTypes: true }).catch(() => []);
  return entries
    .filter((entry) => entry.isDirectory() && !entry.name.startsWith("."))
    .map(({ name }) => name)
    .sort((a, b) => a.localeCompare(b, "en", { numeric: true }));
};

/** True where the first phone's name tells it from others that lie beside it, or the job uses it. */
const isOneOfSeveral = async (
  folder: string,
  { phone }: CameraSource,
  phones: JobInput["job"]["phones"],
): Promise<boolean> => {
  if (phones.some(({ name }) => name === phone)) return true;
  const names = (await listFiles(folder)) ?? [];
  const profiles = names.filter((name) => extname(name).toLowerCase() === ".json").length;
  return profiles > 1 || (profiles === 0 && (await foldersIn(folder)).length > 1);
};

/** Puts in what job.json names instead of holding: the placement sheet, the target library. */
const withNamedFiles = async (folder: string, raw: unknown): Promise<unknown> => {
  if (typeof raw !== "object" || raw === null) return raw;
  const { placement, targets } = raw as { placement?: unknown; targets?: unknown };
  const named: Record<string, unknown> = {};
  if (typeof placement === "string") named.placement = await readSheet(join(folder, placement));
  if (typeof targets === "string") named.targets = await readLibrary(join(folder, targets));
  return { ...raw, ...named };
};

const readSheet = async (file: string): Promise<unknown> => {
  const raw = await readJson(file, "job.json names it as its placement sheet.");
  needFormat(file, raw, { format: placementFormat, version: placementVersion });
  return raw;
};

const readLibrary = async (file: string): Promise<unknown[]> => {
  const raw = await readJson(file, "job.json names it as its target library.");
  needFormat(file, raw, { format: targetLibraryFormat, version: 1 });
  const parsed = targetLibrarySchema.safeParse(raw);
  if (parsed.success) return parsed.data.targets.map(jobTargetOf);
  const issue = parsed.error.issues[0];
  throw new UnusableInput(
    `${file} is not a target library: ${issue.path.join(".") || "the whole file"}: ${issue.message}.`,
  );
};

/**
 * Reads a job folder: job.json, camera/ (sheet photos or a saved profile) and photos/.
 * Throws UnusableInput with what is wrong, where, and what to do.
 */
export const readJobFolder = async (folder: string): Promise<JobInput> => {
  await needFolder(folder, "Name the job's folder.");
  const file = join(folder, "job.json");
  const raw = await readJson(file, "A job folder holds job.json, photos/ and camera/.");
  needFormat(file, raw, { format: "plumbshot-job", version: jobFileVersion });
  const parsed = parseJobFile(await withNamedFiles(folder, raw));
  if (!parsed.ok)
    throw new UnusableInput(
      [`${file} cannot be used:`, ...parsed.problems.map((p) => `  ${p}`)].join("\n"),
    );
  const photos = await photosIn(join(folder, "photos"));
  if (photos === null)
    throw new UnusableInput(`${folder} has no folder photos/. Put the photos of the bay there.`);
  const [first = nothing, ...others] = await camerasIn(join(folder, "camera"));
  // A profile that lies alone, or beside folders of the other phones, is of all other photos.
  const { phones } = parsed.job;
  const isNamed = await isOneOfSeveral(join(folder, "camera"), first, phones);
  return {
    job: parsed.job,
    camera: isNamed ? first : { ...first, phone: undefined },
    ...(others.length > 0 && { otherCameras: others }),
    photos,
  };
};
