import type { JobFile } from "../../../src/job/file/job-file.ts";
import { parseJobFile } from "../../../src/job/file/parse-job.ts";
import type { CameraKnowledge } from "../../../src/job/run/run.ts";
import { type Lens, lensOrder } from "../../../src/lens/lens.ts";
import { expRotation, matMul, type Pose, radians } from "../../../src/maths/pose.ts";
import { floorPlaces, wheelBoards } from "../../../src/plan/rough-bay.ts";
import { usualCamera } from "../../../src/plan/usual-camera.ts";
import { normalSource } from "../simulated-job.ts";

/**
 * A random invented job and the bay as it truly is, for plans: what the plan is told is rough, as a
 * person would pace it out; what the photos see is the truth.
 */
export interface RandomBay {
  readonly job: JobFile;
  readonly camera: CameraKnowledge;
  readonly trueLens: Lens;
  readonly rough: { readonly wheelbaseMm: number; readonly trackMm: number };
  /** vehicleFromBoard of every board, with its true cell, mm. */
  readonly boards: ReadonlyMap<string, { readonly pose: Pose; readonly cellMm: number }>;
  readonly target: Pose;
  readonly car: { readonly wheelbaseMm: number; readonly trackMm: number };
  readonly random: Random;
}

export interface Random {
  normal(sd: number): number;
  even(low: number, high: number): number;
}

export const randomOf = (seed: number): Random => {
  const normal = normalSource(seed * 7919 + 13);
  return {
    normal: (sd) => sd * normal(),
    // By the normal distribution's own symmetry a coin, and thirty-two of them a number.
    even: (low, high) => {
      let share = 0;
      for (let bit = 1; bit <= 32; bit++) share += (normal() > 0 ? 1 : 0) / 2 ** bit;
      return low + (high - low) * share;
    },
  };
};

const check = (kind: string, required: number, deviation: number) => ({
  kind,
  id: kind.replace(" ", "-"),
  required,
  lowerDeviation: -deviation,
  upperDeviation: deviation,
  reference: "invented",
});

export const randomBay = (seed: number): RandomBay => {
  const random = randomOf(seed);
  const { even, normal } = random;
  const round = (value: number, to: number) => Math.round(value / to) * to;
  const place = {
    distance: round(even(1300, 3200), 10),
    lateral: even(0, 1) < 0.6 ? 0 : round(even(-400, 400), 10),
    height: round(even(600, 1300), 10),
  };
  const tolerance = {
    distance: round(even(4, 15), 1),
    lateral: round(even(4, 12), 1),
    height: round(even(4, 12), 1),
    turn: round(even(0.25, 0.8), 0.05),
  };
  const half = round(even(280, 460), 1);
  const standOffMm = round(even(60, 170), 1);
  const raw = {
    format: "plumbshot-job",
    version: 1,
    title: "Random bay",
    invented: true,
    boards: {
      cellMm: 13,
      printCheck: {
        horizontal: { nominalMm: 190, readingMm: 190 },
        vertical: { nominalMm: 270, readingMm: 270 },
        readingSdMm: 0.1,
      },
    },
    lengths: even(0, 1) < 0.5 ? [] : [{ from: 11, to: 15, lengthMm: 1000, sdMm: 1 }],
    wheelPlates: {
      standOffMm,
      standOffSdMm: 0.5,
      centringSdMm: round(even(0.4, 1), 0.1),
      tiltSdDeg: round(even(0.08, 0.2), 0.01),
    },
    floor: { boardThicknessMm: 0, unevennessSdMm: round(even(0.5, 1.2), 0.1) },
    targets: [
      {
        name: "board",
        widthMm: 600,
        heightMm: 500,
        boards: [-half, half].map((x, i) => ({
          board: 31 + i,
          centreMm: [x, 0, 12],
          shiftSdMm: 0.3,
          turnSdDeg: round(even(0.02, 0.1), 0.01),
        })),
      },
    ],
    placement: {
      format: "plumbshot-placement",
      version: 1,
      title: "Random sheet",
      invented: true,
      source: "invented",
      origin: { kind: "front-axle line" },
      axis: even(0, 1) < 0.5 ? "geometric centreline" : "thrust line",
      heightReference: "floor under the target",
      steps: [
        {
          id: "board",
          title: "Board",
          target: { name: "board", kind: "board", facing: "rearward", widthMm: 600, heightMm: 500 },
          checks: [
            check("distance", place.distance, tolerance.distance),
            check("lateral offset", place.lateral, tolerance.lateral),
            check("height", place.height, tolerance.height),
            check("yaw", 0, tolerance.turn),
            check("pitch", 0, tolerance.turn),
            check("roll", 0, tolerance.turn),
          ],
        },
      ],
    },
  };
  const car = { wheelbaseMm: even(2350, 3050), trackMm: even(1450, 1640) };
  const rough = {
    wheelbaseMm: round(car.wheelbaseMm + even(-40, 40), 10),
    trackMm: round(car.trackMm + even(-40, 40), 10),
  };
  // The stand where a careful person gets it by tape: in the inner half of its tolerance.
  const off = (deviation: number) => even(-0.45, 0.45) * deviation;
  const t = [
    place.distance + off(tolerance.distance),
    place.lateral + off(tolerance.lateral),
    place.height + off(tolerance.height),
  ] as const;
  const turns = [0, 1, 2].map(() => radians(off(tolerance.turn)));
  const facing = [0, 0, -1, -1, 0, 0, 0, 1, 0] as const;
  const target: Pose = { R: matMul(expRotation([turns[0], turns[1], turns[2]]), facing), t };
  const boards = new Map<string, { pose: Pose; cellMm: number }>();
  const printScale = 1 + normal(0.0004);
  const put = (key: string, pose: Pose) =>
    boards.set(key, { pose, cellMm: 13 * printScale * (1 + normal(1e-4)) });
  const parsed = parse(raw);
  const { tiltSdDeg, centringSdMm, standOffSdMm } = parsed.wheelPlates;
  for (const [key, { R, t: at }] of wheelBoards(parsed, car)) {
    const tilt = expRotation([normal(radians(tiltSdDeg)), normal(radians(tiltSdDeg)), 0]);
    const side = Math.sign(at[1]) * normal(standOffSdMm);
    const moved = [
      at[0] + normal(centringSdMm),
      at[1] + side,
      at[2] + normal(centringSdMm),
    ] as const;
    put(key, { R: matMul(R, tilt), t: moved });
  }
  // Floor boards lie where the plan draws them, as well as eyes put them there.
  floorPlaces([place.distance, place.lateral], rough).forEach(([x, y], i) => {
    const turn = even(-0.5, 0.5);
    const [c, s] = [Math.cos(turn), Math.sin(turn)];
    const lying = [s, c, 0, -c, s, 0, 0, 0, 1] as const;
    const lean = expRotation([normal(radians(0.4)), normal(radians(0.4)), 0]);
    const uneven = normal(parsed.floor.unevennessSdMm);
    put(String(11 + i), {
      R: matMul(lying, lean),
      t: [x + normal(100), y + normal(100), uneven],
    });
  });
  const [taught] = parsed.targets;
  for (const { board, centreMm, shiftSdMm, turnSdDeg } of taught.boards) {
    const shift = centreMm.map((v) => v + normal(shiftSdMm));
    const turn = expRotation(
      [0, 1, 2].map(() => normal(radians(turnSdDeg))) as [number, number, number],
    );
    const at = [0, 1, 2].map(
      (row) =>
        t[row] + target.R.slice(3 * row, 3 * row + 3).reduce((sum, r, k) => sum + r * shift[k], 0),
    ) as [number, number, number];
    put(String(board), { R: matMul(target.R, turn), t: at });
  }
  const job = withTrueLength(parsed, boards, normal);
  const { profile } = usualCamera;
  const named = {
    ...usualCamera,
    profile: { ...profile, identity: { ...profile.identity, make: "Invented", model: "Bay One" } },
  };
  const trueLens = Object.fromEntries(
    lensOrder.map((name, i) => [
      name,
      profile.lens[name] + normal(Math.sqrt(profile.covariance[i * 10])),
    ]),
  ) as unknown as Lens;
  return { job, camera: named, trueLens, rough, boards, target, car, random };
};

const parse = (raw: unknown): JobFile => {
  const parsed = parseJobFile(raw);
  if (!parsed.ok) throw new Error(parsed.problems.join("\n"));
  return parsed.job;
};

/** The measured length as somebody reads it. */
const withTrueLength = (
  job: JobFile,
  boards: RandomBay["boards"],
  normal: Random["normal"],
): JobFile => ({
  ...job,
  lengths: job.lengths.map((length) => {
    const [a, b] = [length.from, length.to].map((id) => boards.get(String(id))!.pose.t);
    const exact = Math.hypot(a[0] - b[0], a[1] - b[1], a[2] - b[2]);
    return { ...length, lengthMm: exact + normal(length.sdMm) };
  }),
});
