import type { PhotoOutcome } from "../../src/detect/findings/findings.ts";
import { drawHand, onCart } from "../tools/phone/hand.ts";
import { Chance } from "../tools/phone/maths.ts";
import { exif, findings, nameOf, pixels, withoutBoards, withoutExif } from "./change.ts";
import type { Fault } from "./fault.ts";
import { type Name, ofPhotos, shared } from "./naming.ts";

/** The lens is what is wrong. */
const ofLens: readonly Name[] = [
  "profile-disagrees",
  "profile-disagrees-zoomed",
  ...shared("lens", "focus"),
];
/** Photos that show the front of the car and the stand. */
const three = [11, 12, 13];
const twelve = Array.from({ length: 12 }, (_, i) => i + 4);
type Reason = Extract<PhotoOutcome, { ok: false }>["remark"];

const unreadable =
  (code: Reason["code"], message: string) =>
  (name: string): Reason => ({
    code,
    severity: "error",
    message: `${name}: ${message}`,
    remedy: "Copy the photo from the phone again, or take it again.",
    about: name,
  });

/** Faults of single photos and of what programs do to them on their way. */
export const photoFaults: readonly Fault[] = [
  {
    name: "noise-unstated",
    family: "photo",
    how: "all features so many times noisier than detection believed (dark bay, recompressed at quality 20)",
    said: ["noise-widened", "misfit-overall", ...shared("unknown")],
    guilty: [],
    never: "intervals as if the photos were clean",
    strengths: [2, 4, 12],
    found: (job, factor) => {
      const noise = new Chance(job.session.seed, 31);
      const more = Math.sqrt(factor ** 2 - 1);
      findings(job, "all", (photo) =>
        pixels(photo, (x, y, view) => {
          const sigma = view.noise.kind === "isotropic" ? view.noise.sigmaPx * more : 0;
          return [x + noise.normal(sigma), y + noise.normal(sigma)];
        }),
      );
    },
  },
  {
    name: "photo-blurred-sideways",
    family: "photo",
    how: "motion blur pulls each board of three photos aside on its own, by so many px",
    said: ofPhotos(11, 12, 13),
    guilty: [],
    never: "a board of another photo blamed",
    strengths: [0.1, 0.5, 2],
    found: (job, px) => {
      const chance = new Chance(job.session.seed, 32);
      findings(job, three, (photo) => ({
        ...photo,
        boards: photo.boards.map((view) => {
          const by = chance.normal(px);
          return { ...view, pixels: view.pixels.map((v, k) => (k % 2 === 0 ? v + by : v)) };
        }),
      }));
    },
  },
  {
    name: "hdr-ghost",
    family: "photo",
    how: "one board of a photo comes from another frame of the burst, so many px away",
    said: ofPhotos(12),
    guilty: [],
    never: "another board blamed",
    strengths: [0.5, 3, 10],
    found: (job, px) =>
      findings(job, [12], (photo) => ({
        ...photo,
        boards: photo.boards.map((view, i) =>
          i === 0 ? { ...view, pixels: view.pixels.map((v) => v + px) } : view,
        ),
      })),
  },
  {
    name: "from-a-cart",
    family: "photo",
    how: "all photos taken from a moving cart, this share of a walking pace, rows read in 20 ms",
    said: [
      "photo-on-the-move",
      { code: "hand-turned", values: { helps: "yes" } },
      "noise-widened",
      ...shared("motion"),
    ],
    guilty: [],
    never: "intervals as if the phone had been still",
    strengths: [0.3, 1],
    taking: (job, share) => {
      const chance = new Chance(job.session.seed, 33);
      const holding = {
        driftDegPerS: share * onCart.driftDegPerS,
        driftMmPerS: share * onCart.driftMmPerS,
        tremorDeg: share * onCart.tremorDeg,
        tremorMm: share * onCart.tremorMm,
      };
      for (const scene of job.scenes) {
        const phone = { ...scene.shot.phone, holding, readoutS: 0.02 };
        scene.shot = { ...scene.shot, phone, hand: drawHand(holding, chance) };
      }
    },
  },
  {
    name: "cropped",
    family: "photo",
    how: "three photos cropped at the sides to this share",
    said: ["photo-cropped", "photo-size-contradicts"],
    never: "a crop taken for the whole picture",
    strengths: [0.95, 0.7],
    found: (job, share) =>
      findings(job, three, (photo) => {
        const cut = Math.round(((1 - share) / 2) * photo.width);
        const cropped = pixels(photo, (x, y) => [x - cut, y]);
        return { ...cropped, width: photo.width - 2 * cut };
      }),
  },
  {
    name: "cropped-in-shape",
    family: "photo",
    how: "twelve photos cropped on all sides to this share, size rewritten",
    said: ["photos-cropped", ...ofLens],
    guilty: [],
    never: "a crop taken for a smaller copy",
    strengths: [0.9, 0.6],
    found: (job, share) =>
      findings(job, twelve, (photo) => {
        const width = 4 * Math.round((share * photo.width) / 4);
        const height = (width * 3) / 4;
        const [dx, dy] = [(photo.width - width) / 2, (photo.height - height) / 2];
        const cropped = pixels(photo, (x, y) => [x - dx, y - dy]);
        return exif({ ...cropped, width, height }, { exifWidth: width, exifHeight: height });
      }),
  },
  {
    name: "resized",
    family: "photo",
    how: "all photos made smaller by a messenger to this share, EXIF gone",
    said: ["photo-resized", "exif-names-no-camera"],
    never: "the lens of the full size used",
    strengths: [0.5, 0.32],
    found: (job, share) =>
      findings(job, "all", (photo) => {
        const [width, height] = [Math.round(share * photo.width), Math.round(share * photo.height)];
        const [fx, fy] = [width / photo.width, height / photo.height];
        const small = pixels(photo, (x, y) => [(x + 0.5) * fx - 0.5, (y + 0.5) * fy - 0.5]);
        return withoutExif({ ...small, width, height });
      }),
  },
  {
    name: "zoomed",
    family: "photo",
    how: "digital zoom in three photos, and the EXIF says so",
    said: ["photo-digital-zoom"],
    never: "zoomed photos used with the lens of 1x",
    strengths: [1.1, 2],
    found: (job, zoom) =>
      findings(job, three, (photo) =>
        exif(zoomedIn(photo, zoom), { digitalZoom: zoom, focalLength35mm: Math.round(26 * zoom) }),
      ),
  },
  {
    name: "zoomed-exif-lies",
    family: "photo",
    how: "digital zoom in all photos of the bay, and the EXIF denies it",
    said: ofLens,
    guilty: [],
    never: "distances shorter by the zoom",
    strengths: [1.004, 1.03, 1.25],
    found: (job, zoom) => findings(job, "all", (photo) => zoomedIn(photo, zoom)),
  },
  {
    name: "one-zoomed-exif-lies",
    family: "photo",
    how: "digital zoom in one photo, and the EXIF denies it",
    said: ofPhotos(12),
    guilty: [],
    never: "an innocent board blamed",
    strengths: [1.02, 1.2],
    found: (job, zoom) => findings(job, [12], (photo) => zoomedIn(photo, zoom)),
  },
  {
    name: "other-lens",
    family: "photo",
    how: "three photos through the wide lens of the phone",
    said: ["photo-other-lens"],
    never: "the main lens used for them",
    strengths: [0.5],
    found: (job, zoom) =>
      findings(job, three, (photo) =>
        exif(zoomedIn(photo, zoom), {
          lensModel: "wide camera",
          focalLengthMm: 2.2,
          focalLength35mm: 13,
        }),
      ),
  },
  {
    name: "other-phone",
    family: "photo",
    how: "three photos with a colleague's phone",
    said: ["photo-other-phone"],
    never: "the profile used for them",
    strengths: [1.01],
    found: (job, zoom) =>
      findings(job, three, (photo) => exif(zoomedIn(photo, zoom), { model: "Another phone" })),
  },
  {
    name: "other-phone-exif-gone",
    family: "photo",
    how: "all photos with a colleague's phone of this focal length against ours, EXIF gone",
    said: [...ofLens, "exif-names-no-camera"],
    guilty: [],
    never: "all meet",
    strengths: [0.99, 1.006],
    found: (job, zoom) => findings(job, "all", (photo) => withoutExif(zoomedIn(photo, zoom))),
  },
  {
    name: "turned",
    family: "photo",
    how: "three photos turned by a quarter and saved again, EXIF gone",
    said: ["photo-turned"],
    never: "rows taken for columns",
    strengths: [90],
    found: (job) =>
      findings(job, three, (photo) =>
        withoutExif({
          ...pixels(photo, (x, y) => [photo.height - 1 - y, x]),
          width: photo.height,
          height: photo.width,
        }),
      ),
  },
  {
    name: "turned-upside-down",
    family: "photo",
    how: "three photos turned by half a turn and saved again",
    said: ["photo-other-program", ...ofPhotos(...three)],
    guilty: [],
    never: "a principal point on the wrong side",
    strengths: [180],
    found: (job) =>
      findings(job, three, (photo) =>
        pixels(photo, (x, y) => [photo.width - 1 - x, photo.height - 1 - y]),
      ),
  },
  {
    name: "mirrored-selfie",
    family: "photo",
    how: "a photo with the front camera: every board mirrored, none can be read",
    said: ["mirrored-print", "no-board"],
    never: "a mirrored bay",
    strengths: [1],
    found: (job) =>
      findings(job, [12], (photo) => ({
        ...withoutBoards(
          photo,
          photo.boards.map(({ id }) => id),
        ),
        remarks: [
          {
            code: "no-board",
            severity: "warning",
            message: `${photo.name}: no board was found in this photo; it is not used.`,
            remedy: "Take it again with at least three boards in view, sharp and evenly lit.",
            about: photo.name,
          },
        ],
      })),
  },
  {
    name: "panorama",
    family: "photo",
    how: "one picture is a panorama: 1 = the EXIF says so, 2 = only its shape does",
    said: ["photo-panorama", "photo-other-size"],
    never: "its boards used",
    strengths: [1, 2],
    found: (job, kind) =>
      findings(job, [12], (photo) =>
        kind === 1
          ? exif(photo, { customRendered: 6 })
          : withoutExif({ ...photo, width: 3 * photo.width }),
      ),
  },
  {
    name: "portrait-mode",
    family: "photo",
    how: "three photos in portrait mode, background blurred by the phone",
    said: ["photo-portrait"],
    never: "computed blur taken for optics",
    strengths: [1],
    found: (job) => findings(job, three, (photo) => exif(photo, { customRendered: 7 })),
  },
  {
    name: "screenshot",
    family: "photo",
    how: "a screenshot of a photo, 2400 x 1080",
    said: ["photo-screenshot", "photo-other-size", "photo-cropped"],
    never: "its boards used",
    strengths: [1],
    found: (job) =>
      findings(job, [12], (photo) =>
        withoutExif({
          ...pixels(photo, (x, y) => [(x * 1080) / 3024, (y * 1080) / 3024]),
          width: 2400,
          height: 1080,
        }),
      ),
  },
  {
    name: "exif-gone",
    family: "photo",
    how: "all photos without EXIF, in full size and from the right phone",
    said: ["exif-names-no-camera", "exif-missing"],
    never: "a refusal of good photos",
    strengths: [1],
    found: (job) => findings(job, "all", withoutExif),
  },
  {
    name: "straightened",
    family: "photo",
    how: "an editor turned three photos by so many degrees about their middle and wrote its name",
    said: ["photo-other-program", ...ofPhotos(...three)],
    guilty: [],
    never: "a turned picture taken for the phone's",
    strengths: [0.5, 3],
    found: (job, deg) =>
      findings(job, three, (photo) => {
        const [c, s] = [Math.cos((deg * Math.PI) / 180), Math.sin((deg * Math.PI) / 180)];
        const [cx, cy] = [photo.width / 2 + 40, photo.height / 2 - 30];
        const tilted = pixels(photo, (x, y) => [
          cx + 1.03 * (c * (x - cx) - s * (y - cy)),
          cy + 1.03 * (s * (x - cx) + c * (y - cy)),
        ]);
        return exif(tilted, { software: "Picture editor" });
      }),
  },
  {
    name: "perspective-corrected",
    family: "photo",
    how: "an editor pulled the upright lines of three photos parallel, by this share, without a trace",
    said: ofPhotos(...three),
    guilty: [],
    never: "a bent picture taken for the lens",
    strengths: [0.02, 0.1],
    found: (job, share) =>
      findings(job, three, (photo) =>
        pixels(photo, (x, y) => {
          const w = 1 + share * (y / photo.height - 0.5);
          return [
            photo.width / 2 + (x - photo.width / 2) / w,
            photo.height / 2 + (y - photo.height / 2) / w,
          ];
        }),
      ),
  },
  {
    name: "same-photo-twice",
    family: "photo",
    how: "photos given twice under another name, so many of them",
    said: ["photo-twin"],
    never: "a copy counted as a second measurement",
    strengths: [1, 6],
    found: (job, count) => {
      const copies = job.photos.slice(10, 10 + count).flatMap((photo) =>
        photo.ok
          ? [
              {
                ok: true as const,
                findings: { ...photo.findings, name: `copy-${nameOf(photo)}` },
              },
            ]
          : [],
      );
      job.photos.push(...copies);
    },
  },
  {
    name: "old-photos-after-the-run",
    family: "photo",
    how: "photos taken before the run given again as taken after it",
    said: ["photo-repeated"],
    never: "nothing moved, proven by the photos from before",
    strengths: [6],
    found: (job, count) => {
      const copies = job.photos.slice(8, 8 + count).flatMap((photo) =>
        photo.ok
          ? [
              {
                ok: true as const,
                findings: { ...photo.findings, name: `after-${nameOf(photo)}` },
              },
            ]
          : [],
      );
      job.photos.push(...copies);
      job.job.after = { photos: copies.map(nameOf) };
    },
  },
  {
    name: "file-cut-off",
    family: "photo",
    how: "the transfer broke off in this many photos",
    said: ["jpeg-ends-early"],
    never: "the lower half of a photo guessed",
    strengths: [1, 13],
    found: (job, count) => {
      const reason = unreadable(
        "jpeg-ends-early",
        "The file ends early: half of its rows are there.",
      );
      job.photos = job.photos.map((photo, i) =>
        i < count ? { ok: false, name: nameOf(photo), remark: reason(nameOf(photo)) } : photo,
      );
    },
  },
  {
    name: "heic",
    family: "photo",
    how: "this many photos in a format that is not read",
    said: ["photo-format-heic"],
    never: "photos dropped without a word",
    strengths: [2, 16],
    found: (job, count) => {
      const reason = unreadable("photo-format-heic", "This is a HEIC file.");
      job.photos = job.photos.map((photo, i) =>
        i < count ? { ok: false, name: nameOf(photo), remark: reason(nameOf(photo)) } : photo,
      );
    },
  },
];

type Found = Extract<PhotoOutcome, { ok: true }>["findings"];

/** About the middle of the frame, at the same size: what digital zoom does. */
const zoomedIn = (photo: Found, zoom: number): Found => {
  const [cx, cy] = [(photo.width - 1) / 2, (photo.height - 1) / 2];
  const zoomed = pixels(photo, (x, y) => [cx + zoom * (x - cx), cy + zoom * (y - cy)]);
  const inside = (view: (typeof zoomed.boards)[number]): boolean =>
    view.pixels.every((v, k) => v > 5 && v < (k % 2 === 0 ? photo.width : photo.height) - 6);
  return { ...zoomed, boards: zoomed.boards.filter(inside) };
};
