/** The job file that a technician would write for a simulated bay: plates and target are exact. */
import type { JobFile } from "../../../src/job/file/job-file.ts";
import { parseJobFile } from "../../../src/job/file/parse-job.ts";
import { cellMm, type TrueBay } from "../../tools/phone/bay.ts";
import { bayRanges, printRanges } from "../../tools/phone/ranges.ts";

/** Stands for "exact" where a standard deviation of zero may not be stated. */
const exactMm = 0.01;
const exactDeg = 0.001;

/** Required values a little off the truth, so that nothing is right by construction. */
const placement = (bay: TrueBay) => ({
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
      target: {
        name: "board",
        kind: "board",
        facing: "rearward",
        widthMm: 600,
        heightMm: 460,
      },
      checks: [
        check("distance", "ahead", Math.round(bay.aheadMm), 30),
        check("lateral offset", "left", 0, 30),
        check("yaw", "yaw", 0, 3),
      ],
    },
  ],
});

const check = (kind: string, id: string, required: number, deviation: number) => ({
  kind,
  id,
  required,
  lowerDeviation: -deviation,
  upperDeviation: deviation,
  reference: "invented for a simulation",
});

export const jobOf = (bay: TrueBay, photosAfter: readonly string[]): JobFile => {
  const raw = {
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
      ownScaleSd: printRanges.ownScaleSd,
      flatnessMm: printRanges.bulgeSdMm,
    },
    lengths: bay.lengths.map((length) => ({ ...length, sdMm: bayRanges.lengthSdMm })),
    wheelPlates: {
      standOffMm: bay.standOffMm,
      standOffSdMm: exactMm,
      centringSdMm: exactMm,
      tiltSdDeg: exactDeg,
    },
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
          shiftSdMm: exactMm,
          turnSdDeg: exactDeg,
        })),
      },
    ],
    placement: placement(bay),
    ...(photosAfter.length > 0 ? { after: { photos: [...photosAfter] } } : {}),
  };
  const parsed = parseJobFile(raw);
  if (!parsed.ok) throw new Error(parsed.problems.join("\n"));
  return parsed.job;
};
