import type { BoardView, PhotoOutcome } from "../../src/detect/findings/findings.ts";
import { exifOf } from "../bench/phone/exif.ts";
import { boardNoisePx, sheetNoisePx, tracedView } from "../bench/phone/traced.ts";
import { cellMm, type TrueBay, trueChecks } from "../tools/phone/bay.ts";
import { Chance, type Rigid } from "../tools/phone/maths.ts";
import { bayRanges, printRanges } from "../tools/phone/ranges.ts";
import { drawSession, type Part, parts, type Session } from "../tools/phone/session.ts";
import { type Shot, visibleBoards } from "../tools/phone/shots.ts";
import type { Case, Fault, RawJob } from "./fault.ts";

/** A job without any fault: a random bay and phone, all photos in order, everything inside. */
export const drawCase = (seed: number, physics: "plain" | "full"): Case => {
  const without: readonly Part[] = physics === "plain" ? parts : [];
  const drawn = drawSession(seed, { bumpMm: 0, without });
  const session = physics === "plain" ? withFixedFocus(drawn) : drawn;
  const { bay } = session;
  return {
    session,
    chance: new Chance(seed, 21),
    truth: trueChecks(bay),
    scenes: session.photos.map((shot) => ({ shot, bay })),
    afterScenes: [],
    sheetScenes: session.sheet.map((shot) => ({ shot, print: bay.sheet })),
    photos: [],
    sheet: [],
    job: jobOf(bay),
    camera: null,
  };
};

/** Focused at one distance for sheet and bay: the focal length is one. */
const withFixedFocus = (session: Session): Session => {
  const fixed = (shots: readonly Shot[]): Shot[] =>
    shots.map((shot) => ({ ...shot, state: { ...shot.state, focusMm: 2500 } }));
  return {
    ...session,
    sheet: fixed(session.sheet),
    photos: fixed(session.photos),
    after: fixed(session.after),
  };
};

/** The fault at work in a job, up to the job file. */
export const withFault = (job: Case, fault: Fault | null, strength: number): Case => {
  fault?.taking?.(job, strength);
  takePhotos(job);
  fault?.found?.(job, strength);
  fault?.written?.(job, strength);
  return job;
};

const takePhotos = (job: Case): void => {
  const noise = new Chance(job.session.seed, 22);
  job.sheet = job.sheetScenes.map(({ shot, print }) =>
    outcome(shot, [tracedView(shot, print, inPlace, sheetNoisePx, noise)]),
  );
  job.photos = [...job.scenes, ...job.afterScenes].map(({ shot, bay }) =>
    outcome(
      shot,
      visibleBoards(bay, shot).map((board) =>
        tracedView(shot, board, board.worldFromBoard, noise.even(...boardNoisePx), noise),
      ),
    ),
  );
};

const inPlace: Rigid = { q: [1, 0, 0, 0], p: [0, 0, 0] };

const outcome = (shot: Shot, boards: readonly (BoardView | null)[]): PhotoOutcome => ({
  ok: true,
  findings: {
    name: shot.name,
    width: shot.phone.lens.width,
    height: shot.phone.lens.height,
    exif: exifOf(shot),
    boards: boards.filter((board) => board !== null),
    remarks: [],
    timesMs: { decode: 0, find: 0, refine: 0 },
  },
});

/** Deviations about the true value, rounded as a sheet would state it: everything is well inside. */
const check = (kind: string, id: string, required: number, deviation: number) => ({
  kind,
  id,
  required,
  lowerDeviation: -deviation,
  upperDeviation: deviation,
  reference: "invented for a simulation",
});

const placementOf = (bay: TrueBay): RawJob => {
  const truth = trueChecks(bay);
  return {
    format: "plumbshot-placement",
    version: 1,
    title: "Simulated bay: board ahead",
    vehicle: "invented",
    invented: true,
    source: "invented for a simulation",
    origin: { kind: "front-axle line" },
    axis: "geometric centreline",
    heightReference: "floor under the target",
    steps: [
      {
        id: "board",
        title: "Board ahead of the car",
        target: { name: "board", kind: "board", facing: "rearward", widthMm: 600, heightMm: 460 },
        checks: [
          check("distance", "ahead", Math.round(truth.aheadMm), 15),
          check("lateral offset", "left", Math.round(truth.leftMm), 15),
          check("height", "height", Math.round(truth.heightMm), 15),
          check("yaw", "yaw", Math.round(10 * truth.yawDeg) / 10, 1),
        ],
      },
    ],
  };
};

const jobOf = (bay: TrueBay): RawJob => ({
  format: "plumbshot-job",
  version: 1,
  title: "Simulated bay",
  invented: true,
  boards: {
    cellMm,
    printCheck: {
      horizontal: { nominalMm: 200, readingMm: bay.bars.across },
      vertical: { nominalMm: 200, readingMm: bay.bars.along },
      readingSdMm: printRanges.readingSdMm,
    },
  },
  // The simulator's lengths are all but exact; a laser is stated with a millimetre.
  lengths: bay.lengths.map((length) => ({ ...length, sdMm: 1 })),
  wheelPlates: { standOffMm: bay.standOffMm },
  floor: {
    boardThicknessMm: 0,
    unevennessSdMm: bayRanges.floorSdMm,
    tiltSdDeg: bayRanges.floorTiltSdDeg,
  },
  targets: [
    {
      name: "board",
      widthMm: 600,
      heightMm: 460,
      boards: bay.taught.map(({ board, centreMm, turnDeg: [aboutX, aboutY, aboutZ] }) => ({
        board,
        centreMm: [...centreMm],
        turnDeg: { aboutX, aboutY, aboutZ },
      })),
    },
  ],
  placement: placementOf(bay),
});
