/**
 * The house: every room of the code, which rooms it may use, and its inner rooms from the bottom up.
 * A file may import from its own folder, from inner rooms listed before its own, and from the rooms
 * that its room may use. `.` is the room's own folder. `check-imports.ts` holds the code to this.
 */
export interface Room {
  readonly may: readonly string[];
  /** From the bottom up; a room without inner rooms is just its folder. */
  readonly inner?: readonly string[];
  /** npm packages besides zod that a pure room may use; null for rooms that are not pure. */
  readonly packages: readonly string[] | null;
  /** What it is for, in the drawing of DEVELOPERS.md. */
  readonly what: string;
}

const pureRooms = {
  "src/say": {
    may: [],
    packages: [],
    what: "remarks as data, why a field is refused, text and numbers for people",
  },
  "src/maths": {
    may: [],
    packages: [],
    what: "linear algebra, statistics, poses, homographies, angles, units",
  },
  "src/boards": {
    may: ["src/say", "src/maths"],
    inner: [".", "words", "pages", "building", "guide"],
    packages: ["pdf-lib"],
    what: "pattern, ids and roles, kit, camera sheet, print check, PDF pages",
  },
  "src/photo": {
    may: ["src/say"],
    inner: ["file", "heif", "grey", "jpeg/assembly", "jpeg", "exif", "png", "."],
    packages: ["fflate"],
    what: "JPEG luma, PNG, what a HEIC holds, EXIF, what kind of file it is",
  },
  "src/lens": {
    may: ["src/say", "src/maths", "src/photo"],
    packages: [],
    what: "lens model, camera profile, which camera took a photo",
  },
  "src/detect": {
    may: ["src/say", "src/maths", "src/photo", "src/boards", "src/lens"],
    inner: [
      "findings",
      "picture",
      "print-fit/assembly",
      "print-fit/print",
      "ring",
      "print-fit",
      "quality",
      "tags",
      "search",
      "sheet",
      ".",
    ],
    packages: [],
    what: "find boards in a grey picture, fit the print, judge the photo",
  },
  "src/adjust": {
    may: ["src/say", "src/maths", "src/lens", "src/detect"],
    inner: ["problem", "factors", "solve", "propagate", "start", ".", "spreads", "test"],
    packages: [],
    what: "one weighted least-squares adjustment, covariance, its tests",
  },
  "src/calibrate": {
    may: [
      "src/say",
      "src/maths",
      "src/photo",
      "src/boards",
      "src/lens",
      "src/detect",
      "src/adjust",
    ],
    inner: ["photos", "estimate", "lens-effect", "guidance", "."],
    packages: [],
    what: "the camera step: lens from sheet photos, guidance",
  },
  "src/vehicle": {
    may: ["src/say", "src/maths", "src/adjust"],
    packages: [],
    what: "axles, centreline, thrust line, wheel plates, floor",
  },
  "src/placement": {
    may: ["src/say", "src/maths", "src/adjust", "src/vehicle"],
    inner: ["sheet", "sheet/examples", "words", "decide", "target", "checks", "moves", "."],
    packages: [],
    what: "placement sheets, checks, verdict, moves, targets",
  },
  "src/job": {
    may: [
      "src/say",
      "src/maths",
      "src/photo",
      "src/boards",
      "src/lens",
      "src/detect",
      "src/adjust",
      "src/calibrate",
      "src/vehicle",
      "src/placement",
    ],
    inner: ["file", "result", "run", "problem", "epochs", "teach", "solve", "."],
    packages: [],
    what: "job files, the whole measurement, the result document",
  },
  "src/plan": {
    may: [
      "src/say",
      "src/maths",
      "src/lens",
      "src/detect",
      "src/adjust",
      "src/vehicle",
      "src/placement",
      "src/job",
    ],
    inner: ["view", "choice", "."],
    packages: [],
    what: "which photos to take: predicted uncertainty, the smallest set, the next best photo",
  },
  "src/watch": {
    may: ["src/say", "src/maths", "src/photo", "src/boards", "src/lens", "src/detect"],
    packages: [],
    what: "boards in a stream: what moved since the reference, advice while aiming, level",
  },
  "src/record": {
    may: ["src/say", "src/lens", "src/placement", "src/job"],
    inner: [".", "archive", "paper", "pdf", "verify"],
    packages: [
      "pdf-lib",
      "@pdf-lib/fontkit",
      "@noble/hashes/sha2.js",
      "@noble/hashes/utils.js",
      "@noble/curves/nist.js",
    ],
    what: "closed records: seals, chain, archive, paper, verification",
  },
  "src/replicate": {
    may: ["src/record"],
    inner: ["faults", "formats", "keys", "stores", "sync", "."],
    packages: [
      "@noble/ciphers/aes.js",
      "@noble/hashes/hkdf.js",
      "@noble/hashes/hmac.js",
      "@noble/hashes/scrypt.js",
      "@noble/hashes/sha2.js",
      "@noble/hashes/utils.js",
      "@rgrove/parse-xml",
      "aws4fetch",
    ],
    what: "records, photos and shop data through a store: sealed objects, index, union",
  },
  "src/acceptance": {
    may: [
      "src/say",
      "src/maths",
      "src/detect",
      "src/adjust",
      "src/placement",
      "src/job",
      "src/record",
    ],
    inner: ["file", "reference", "result", "measure", "judge", ".", "certificate"],
    packages: [],
    what: "acceptance test of a shop's own phone, prints and boards, its certificate",
  },
} as const satisfies Record<string, Room>;

const allPure = Object.keys(pureRooms);

export const rooms: Readonly<Record<string, Room>> = {
  ...pureRooms,
  "workers/shared": {
    may: allPure,
    packages: null,
    what: "worker pool, solver, warm-up: the same in browser and Node",
  },
  "workers/browser": {
    may: [...allPure, "workers/shared"],
    packages: null,
    what: "web workers, photos decoded by the browser",
  },
  "workers/node": {
    may: [...allPure, "workers/shared"],
    packages: null,
    what: "worker threads",
  },
  "src/cli": {
    may: [...allPure, "workers/shared", "workers/node"],
    inner: ["stores", "server", ".", "shop"],
    packages: null,
    what: "the command line, a thin shell",
  },
  "src/app": {
    may: [...allPure, "workers/shared", "workers/browser", "calibration-boards"],
    inner: [
      "engine",
      "store/database",
      "store/records",
      "store",
      "i18n/en",
      "i18n/es/engine",
      "i18n/es",
      "i18n",
      "state/photo",
      "state",
      "photos",
      "session",
      "archive",
      "library",
      "replica",
      "context",
      "parts/touch",
      "parts/icons",
      "parts",
      "parts/fields",
      "stream",
      "pwa",
      "pwa/build",
      "drawing",
      "drawing/bay",
      "paper",
      "faces",
      "record",
      "forms",
      "forms/plates",
      "forms/sheet",
      "forms/target",
      "screens/frame",
      "screens/building",
      "screens/acceptance",
      "screens/glossary",
      "screens/jobs",
      "screens/live",
      "screens/photos",
      "screens/camera",
      "screens/target",
      "screens/sheet",
      "screens/boards",
      "screens/car",
      "screens/placement",
      "screens/record/leaving",
      "screens/record",
      "screens/settings",
      "screens/shop",
      "screens/job",
      ".",
      "fixtures",
    ],
    packages: null,
    what: "the React app, a thin shell",
  },
};
