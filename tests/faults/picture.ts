import type { Fault } from "./fault.ts";
import { type Name, ofPhotos, shared } from "./naming.ts";

/** Photos of the sample job that show stand and front wheels, counted from 0. */
const three = [10, 11, 12];
/** Photos counted from 0, in which something may be wrong. */
const inThree: readonly Name[] = ofPhotos(...three);
const unread: readonly Name[] = ["no-board", ...inThree];
const worse: readonly Name[] = ["noise-widened", "misfit-overall", ...shared("unknown", "lens")];

const picture = (
  name: string,
  how: string,
  what: string,
  strengths: readonly number[],
  rest: Pick<Fault, "said" | "never"> & { readonly which?: readonly number[] },
): Fault => {
  const { which = three, ...words } = rest;
  return { name, family: "photo", how, strengths, ...words, picture: { what, which } };
};

const all = Array.from({ length: 16 }, (_, i) => i);

/** Faults of the pixels themselves: altered sample photos, through the finder and the whole job. */
export const pictureFaults: readonly Fault[] = [
  picture("picture-blurred", "three photos out of focus, blur in px", "blur", [1.5, 4, 9], {
    ...{ said: unread, never: "corners of a blurred board as sure as sharp ones" },
  }),
  picture("picture-motion", "three photos smeared by so many px", "motion", [4, 12, 30], {
    ...{ said: unread, never: "a smear taken for the board" },
  }),
  picture(
    "picture-glare",
    "lamps mirrored all over three photos, this wide",
    "glare",
    [0.02, 0.05],
    {
      ...{ said: unread, never: "an edge of glare taken for one of the print" },
    },
  ),
  picture("picture-noise", "noise of so many grey levels in three photos", "noise", [10, 40], {
    ...{ said: [...unread, ...worse], never: "intervals as if the photos were clean" },
  }),
  picture("picture-dark", "three photos this much darker, with noise", "dark", [0.3, 0.06], {
    ...{ said: unread, never: "boards guessed in the dark" },
  }),
  picture("picture-bright", "three photos over-exposed by this factor", "bright", [1.5, 4], {
    ...{ said: unread, never: "bloomed edges taken for the print's" },
  }),
  picture("picture-covered", "a finger over this share of three photos", "covered", [0.1, 0.4], {
    ...{ said: unread, never: "a covered board measured" },
  }),
  picture("picture-smaller", "all photos made smaller to this share, EXIF gone", "smaller", [0.5], {
    ...{ said: ["photo-resized", "exif-names-no-camera"], never: "the lens of the full size" },
    which: all,
  }),
  picture("picture-cropped", "three photos cropped off centre, EXIF kept", "cropped", [0.85], {
    ...{ said: ["photo-size-contradicts", "photos-cropped", "photo-other-size", ...inThree] },
    never: "a crop taken for the whole picture",
  }),
  picture("picture-mirrored", "three photos mirrored as by a front camera", "mirrored", [1], {
    ...{ said: ["mirrored-print", "no-board"], never: "a mirrored bay" },
  }),
  picture("picture-turned", "three photos turned by a quarter, EXIF gone", "turned", [90], {
    ...{ said: ["photo-turned"], never: "rows taken for columns" },
  }),
  picture("picture-half-turned", "three photos turned by a half, EXIF gone", "half-turned", [180], {
    ...{ said: ["exif-names-no-camera", ...inThree], never: "an optical centre on the wrong side" },
  }),
  picture("picture-ghost", "two frames of a burst laid over each other", "ghost", [1.5, 5], {
    ...{ said: unread, never: "a place between the two frames" },
  }),
  picture("picture-tone", "local contrast as night modes make it", "tone", [4], {
    ...{ said: [...unread, ...worse], never: "edges shifted by the contrast" },
  }),
  picture("picture-sharpened", "three photos sharpened this strongly", "sharpened", [1, 4], {
    ...{ said: [...unread, ...worse], never: "rims of sharpening taken for the print's" },
  }),
  picture("picture-screenshot", "a screenshot of a photo", "screenshot", [1], {
    ...{ said: ["photo-screenshot", "photo-other-size", "photo-cropped"] },
    never: "its boards used",
    which: [11],
  }),
  picture("picture-quality", "three photos recompressed at this quality", "quality", [50, 20], {
    ...{ said: [...unread, ...worse], never: "blocks of the compression taken for edges" },
  }),
  picture("picture-exif-gone", "all photos without EXIF", "exif-gone", [1], {
    ...{ said: ["exif-names-no-camera", "exif-missing"], never: "a refusal of good photos" },
    which: all,
  }),
  picture(
    "picture-exif-lies",
    "three photos zoomed in, and the EXIF denies it",
    "exif-other-phone",
    [1.06],
    {
      ...{ said: [...inThree, ...shared("focus", "lens")], never: "an innocent board blamed" },
    },
  ),
];
