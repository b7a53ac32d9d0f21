import type { PhotoFindings, PhotoOutcome, Remark } from "../detection/findings.ts";

/**
 * Boards of two photos at the same places, as a share of the picture's size (root mean square): a
 * copy, perhaps made smaller by a messenger, or a second photo from a tripod. No hand holds a phone so
 * still: 1 in 10 000 is 0.4 px of 4000.
 */
const sameShare = 1e-4;
/** One feature so many times further off settles that these are two pictures. */
const grossly = 20;

/**
 * The same picture counted twice would look like two independent measurements and make the result
 * surer than it is. Keeps the larger copy, else the first; `groupOf` tells photos apart that belong to
 * different positions or set-ups and are never compared.
 */
export function withoutTwins(
  outcomes: readonly PhotoOutcome[],
  groupOf: (photo: string) => string,
): { readonly kept: readonly PhotoOutcome[]; readonly remarks: readonly Remark[] } {
  const findings = outcomes.flatMap((outcome) => (outcome.ok ? [outcome.findings] : []));
  const bySize = [...findings].sort((a, b) => b.width * b.height - a.width * a.height);
  const places = new Map(findings.map((photo) => [photo, placesOf(photo)]));
  const single: PhotoFindings[] = [];
  const twinOf = new Map<string, string>();
  for (const photo of bySize) {
    const twin = single.find(
      (other) =>
        groupOf(other.name) === groupOf(photo.name) &&
        samePicture(places.get(other)!, places.get(photo)!),
    );
    if (twin) {
      twinOf.set(photo.name, twin.name);
    } else {
      single.push(photo);
    }
  }
  return {
    kept: outcomes.filter((outcome) => !outcome.ok || !twinOf.has(outcome.findings.name)),
    remarks: [...twinOf].map(([name, twin]) => remarkOn(name, twin)),
  };
}

/** Where each feature of each board lies, as a share of the picture's sides. */
type Places = ReadonlyMap<string, readonly [x: number, y: number]>;

function samePicture(a: Places, b: Places): boolean {
  let sum = 0;
  let count = 0;
  for (const [feature, [x, y]] of a) {
    const other = b.get(feature);
    if (other) {
      const off = Math.hypot(x - other[0], y - other[1]);
      if (off > grossly * sameShare) {
        return false;
      }
      sum += off ** 2;
      count += 2;
    }
  }
  return count > 0 && Math.sqrt(sum / count) < sameShare;
}

function placesOf({ boards, width, height }: PhotoFindings): Places {
  const places = new Map<string, readonly [number, number]>();
  for (const { id, boardPoints, pixels } of boards) {
    for (let i = 0; i + 1 < pixels.length; i += 2) {
      const feature = `${id} ${boardPoints[i].toFixed(3)} ${boardPoints[i + 1].toFixed(3)}`;
      // Pixel centres are whole numbers, the picture begins half a pixel before the first.
      places.set(feature, [(pixels[i] + 0.5) / width, (pixels[i + 1] + 0.5) / height]);
    }
  }
  return places;
}

const remarkOn = (name: string, twin: string): Remark => ({
  code: "photo-twin",
  values: { photo: name, twin },
  severity: "warning",
  message: `${name} shows exactly what ${twin} shows: a copy or a second photo from the same place. It was left out.`,
  remedy: "Take every photo from another place; a copy adds nothing.",
  about: name,
});
