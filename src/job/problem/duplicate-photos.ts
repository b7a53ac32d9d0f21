import type { PhotoFindings, PhotoOutcome } from "../../detect/findings/findings.ts";
import type { Remark } from "../result/remark-codes.ts";

/**
 * Boards of two photos at the same places, as a share of the picture's size (root mean square): a
 * copy, perhaps made smaller by a messenger, or a second photo from a tripod. No hand holds a phone so
 * still: 1 in 10 000 is 0.4 px of 4000.
 */
const sameShare = 1e-4;
/** One feature so many times further off settles that these are two pictures. */
const grossly = 20;

/** Where a job counts a photo: car position and set-up in their order, before or after the run. */
export interface PhotoGroup {
  readonly position: number;
  readonly setup: number;
  readonly after: boolean;
}

export const oneGroup: PhotoGroup = { position: 0, setup: 0, after: false };

/** In the order of time, as far as the job tells it. */
const rank = ({ position, setup, after }: PhotoGroup): readonly number[] => [
  Number(after),
  setup,
  position,
];
const byTime = (a: PhotoGroup, b: PhotoGroup): number =>
  rank(a).reduce((order, value, i) => order || value - rank(b)[i], 0);

/**
 * The same picture counted twice would look like two independent measurements and make the result
 * surer than it is; given again as taken after the run it would "prove" that nothing moved. Of copies
 * in one group the larger stays, else the first; of copies in two groups that in the earlier group.
 */
export function withoutDuplicates(
  outcomes: readonly PhotoOutcome[],
  groupOf: (photo: string) => PhotoGroup,
): { readonly kept: readonly PhotoOutcome[]; readonly remarks: readonly Remark[] } {
  const photos = outcomes.flatMap((outcome) => (outcome.ok ? [seenIn(outcome.findings)] : []));
  const inOrder = photos
    .map((photo) => ({ ...photo, group: groupOf(photo.name) }))
    .sort((a, b) => byTime(a.group, b.group) || b.size - a.size);
  const single: typeof inOrder = [];
  const remarks = new Map<string, Remark>();
  for (const photo of inOrder) {
    const original = single.find((other) => isDuplicate(other, photo));
    if (original) {
      remarks.set(photo.name, remarkOn(photo, original));
    } else {
      single.push(photo);
    }
  }
  return {
    kept: outcomes.filter((outcome) => !outcome.ok || !remarks.has(outcome.findings.name)),
    remarks: [...remarks.values()],
  };
}

interface Seen {
  readonly name: string;
  /** Pixels of the picture. */
  readonly size: number;
  /** By the camera's clock; null where the file does not say. */
  readonly takenAt: string | null;
  readonly places: Places;
}
type Grouped = Seen & { readonly group: PhotoGroup };

const seenIn = (findings: PhotoFindings): Seen => ({
  name: findings.name,
  size: findings.width * findings.height,
  takenAt: findings.exif?.takenAt ?? null,
  places: placesOf(findings),
});

/**
 * In one group a second photo from a tripod adds nothing either. In two groups it does: it is told
 * from a copy by the camera's clock.
 */
const isDuplicate = (a: Grouped, b: Grouped): boolean =>
  samePicture(a.places, b.places) &&
  (byTime(a.group, b.group) === 0 || a.takenAt === b.takenAt || !a.takenAt || !b.takenAt);

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

const remarkOn = (photo: Grouped, original: Grouped): Remark =>
  byTime(photo.group, original.group) === 0
    ? {
        code: "photo-twin",
        values: { photo: photo.name, twin: original.name },
        severity: "warning",
        message: `${photo.name} shows exactly what ${original.name} shows: a copy or a second photo from the same place. It was left out.`,
        remedy: "Take every photo from another place; a copy adds nothing.",
        about: photo.name,
      }
    : repeated(photo, original);

const repeated = (photo: Grouped, original: Grouped): Remark => {
  const where = differenceOf(photo.group, original.group);
  const { given, remedy } = groupWords[where];
  return {
    code: "photo-repeated",
    values: { photo: photo.name, twin: original.name, where },
    severity: "warning",
    message: `${photo.name} is given as a photo ${given}, but it repeats ${original.name}: the same picture. It was not counted.`,
    remedy,
    about: photo.name,
  };
};

const differenceOf = (later: PhotoGroup, earlier: PhotoGroup): keyof typeof groupWords =>
  later.after !== earlier.after ? "after" : later.setup !== earlier.setup ? "set-up" : "position";

const groupWords = {
  after: { given: "after the run", remedy: "Take new photos after the run." },
  "set-up": {
    given: "of the moved stand",
    remedy: "Take new photos of the stand where it is now.",
  },
  position: {
    given: "of another car position",
    remedy: "Take new photos of the car in that position.",
  },
} as const;
