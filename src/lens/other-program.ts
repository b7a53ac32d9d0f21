import type { ExifFacts } from "../photo/exif/exif-facts.ts";
import type { Remark } from "./codes.ts";

interface NamedPhoto {
  readonly name: string;
  readonly exif: ExifFacts | null;
}

/** Fewer photos of one phone than this do not say what is usual for it. */
const fewestToCompare = 4;
/** What so many of them have in common is usual. */
const usualShare = 0.75;

/**
 * Photos that another program wrote than most of the same phone. An editor may keep size, EXIF and
 * everything else while it crops, straightens or bends the picture; the EXIF tag Software (CIPA
 * DC-008) is the one thing that many of them change. What is usual comes from the job's own photos, so
 * that no list of programs is needed and no phone is suspected for what its camera always writes. An
 * editor that leaves the tag alone is not found here; the lens check of the job remains.
 *
 * Not used, because phones that were not tried may do the same by themselves: quantisation tables
 * (some cameras choose them for every photo), a preview that differs (some cut it otherwise).
 */
export function otherProgramRemarks(photos: readonly NamedPhoto[]): Remark[] {
  const phones = new Map<string, NamedPhoto[]>();
  for (const photo of photos) {
    if (photo.exif?.model) {
      const key = `${photo.exif.make ?? ""}|${photo.exif.model}`;
      phones.set(key, [...(phones.get(key) ?? []), photo]);
    }
  }
  return [...phones.values()].flatMap(oddOnes);
}

function oddOnes(photos: readonly NamedPhoto[]): Remark[] {
  const usual = mostCommon(photos.map(programOf));
  const odd = photos.filter((photo) => programOf(photo) !== usual);
  const clear = photos.length - odd.length >= usualShare * photos.length;
  return photos.length >= fewestToCompare && clear
    ? odd.map((photo) => remarkOn(photo, usual))
    : [];
}

const programOf = ({ exif }: NamedPhoto): string => exif?.software?.trim() ?? "";

function mostCommon(names: readonly string[]): string {
  const counts = new Map<string, number>();
  for (const name of names) {
    counts.set(name, (counts.get(name) ?? 0) + 1);
  }
  return [...counts].reduce((best, entry) => (entry[1] > best[1] ? entry : best))[0];
}

const quoted = (program: string): string => (program ? `"${program}"` : "a program without a name");

function remarkOn(photo: NamedPhoto, usual: string): Remark {
  const program = programOf(photo);
  return {
    code: "photo-other-program",
    values: { photo: photo.name, program, usual },
    severity: "warning",
    message: `${photo.name} was written by ${quoted(program)}, most others of this phone by ${quoted(usual)}: it may have been edited.`,
    remedy:
      "Use the file as the phone's camera wrote it: a picture that was cropped, straightened or " +
      "corrected does not show the lens any more.",
    about: photo.name,
  };
}
