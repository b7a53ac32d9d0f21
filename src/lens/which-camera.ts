import type { Remark } from "./codes.ts";
import { type IdentityMatch, matchPhoto, type PhotoIdentity } from "./identity.ts";
import { exifNames, type Refusal } from "./photo-refusals.ts";
import type { CameraIdentity, CameraProfile } from "./profile.ts";

/**
 * Which of a job's lenses took a photo. Two phones on one car have two lenses, and a photo that is
 * solved with the other's is wrong by centimetres without looking wrong: where nothing tells them
 * apart, the photo is left out by name.
 */
export interface KnownCamera {
  readonly profile: CameraProfile;
  /**
   * How the job calls the phone, in its statement of whose photos are whose; without a name the lens
   * of the photos that the job says nothing about.
   */
  readonly phone?: string;
  /** Further names in that statement whose photos this same lens took. */
  readonly alsoOf?: readonly string[];
}

const isOf = ({ phone, alsoOf = [] }: KnownCamera, stated: string): boolean =>
  phone === stated || alsoOf.includes(stated);

export type CameraOfPhoto<Camera> =
  | {
      readonly ok: true;
      readonly camera: Camera;
      readonly match: Exclude<IdentityMatch, Refusal>;
    }
  | { readonly ok: false; readonly remark: Remark };

/**
 * The camera that took a photo, with its lens as it applies to the photo. `stated`: the phone that the
 * job names for it, or null. What the job states goes first, then what the photo's EXIF says; size
 * alone decides only where one camera is meant for photos without a statement.
 */
export const cameraOfPhoto = <Camera extends KnownCamera>(
  cameras: readonly Camera[],
  photo: PhotoIdentity,
  stated: string | null,
): CameraOfPhoto<Camera> => {
  const candidates = stated === null ? cameras : cameras.filter((one) => isOf(one, stated));
  if (candidates.length === 0) return { ok: false, remark: lensUnknown(photo, stated) };
  if (candidates.length === 1) return chosen(candidates[0], photo);
  const matches = candidates.filter(({ profile }) => matchPhoto(profile, photo).kind !== "refused");
  const proven = matches.filter(({ profile }) => exifNames(photo.exif, profile.identity));
  const unnamed = candidates.filter(({ phone }) => phone === undefined);
  const pool =
    proven.length > 0
      ? proven
      : unnamed.length > 0
        ? matches.filter(({ phone }) => phone === undefined)
        : matches;
  const meant = pool.length > 1 ? pool.filter(({ phone }) => phone === undefined) : pool;
  if (meant.length === 1) return chosen(meant[0], photo);
  return {
    ok: false,
    remark: matches.length > 0 ? whose(photo, matches) : ofNone(photo, candidates),
  };
};

const chosen = <Camera extends KnownCamera>(
  camera: Camera,
  photo: PhotoIdentity,
): CameraOfPhoto<Camera> => {
  const match = matchPhoto(camera.profile, photo);
  return match.kind === "refused"
    ? { ok: false, remark: match.remark }
    : { ok: true, camera, match };
};

/** Make and model as the photos of the profile gave them, or null. */
const makeAndModel = ({ make, model }: CameraIdentity): string | null =>
  [make, model].filter(Boolean).join(" ") || null;

/** What a camera is called among the others: make and model, with the job's own name where two share them. */
export const cameraWords = (camera: KnownCamera, all: readonly KnownCamera[]): string => {
  const words = makeAndModel(camera.profile.identity);
  const alike = all.filter(({ profile }) => makeAndModel(profile.identity) === words);
  if (words && alike.length < 2) return words;
  const place = all.indexOf(camera) + 1;
  const name = camera.phone ?? (words ? `${place}` : `phone ${place}`);
  return words ? `${words} (${name})` : name;
};

const lensUnknown = (photo: PhotoIdentity, stated: string | null): Remark => ({
  code: "photo-lens-unknown",
  values: { phone: stated ?? "" },
  severity: "error",
  message: `${photo.name} was taken with another phone (${stated}), whose lens is not known in this job.`,
  remedy:
    "Photograph the camera sheet with that phone, or choose the lens that was kept for it; the photo counts then.",
  about: photo.name,
});

const whose = (photo: PhotoIdentity, cameras: readonly KnownCamera[]): Remark => {
  const phones = cameras.map((camera) => cameraWords(camera, cameras));
  return {
    code: "photo-phone-unclear",
    values: { phones },
    severity: "error",
    message: `${photo.name} may have been taken with any of these phones: ${phones.join(", ")}. Nothing says which, and each has a lens of its own.`,
    remedy:
      "Use the file as the phone wrote it, add it with the phone that took it, or say in the job whose photo it is.",
    about: photo.name,
  };
};

/** None of several phones can have taken it: the reason of the phone that its EXIF names, if any. */
const ofNone = (photo: PhotoIdentity, cameras: readonly KnownCamera[]): Remark => {
  const named = cameras.find(({ profile }) => exifNames(photo.exif, profile.identity));
  const match = matchPhoto((named ?? cameras[0]).profile, photo);
  if (match.kind !== "refused") throw new Error("a photo that matches is refused");
  return match.remark;
};
