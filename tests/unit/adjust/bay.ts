/**
 * Random bays with known truth for tests and benches: boards at wheels, on the floor and on a
 * stand, photos from around, features with noise. All numbers invented.
 */

import { type Bend, bentPoint } from "../../../src/adjust/problem/board-shape.ts";
import type { MotionSpread, NetworkProblem } from "../../../src/adjust/problem/problem.ts";
import { type Lens, lensSize } from "../../../src/lens/lens.ts";
import {
  cross,
  dot,
  expRotation,
  invert,
  type Mat3,
  matMul,
  type Pose,
  sub,
  transform,
  transpose,
  unit,
  type Vec3,
} from "../../../src/maths/pose.ts";
import { carried, truePixelOf } from "../../oracle/camera.ts";

/** Position of the printed point (x, y) mm on the bent board, board frame. */
export const pointOn = (bend: Bend, x: number, y: number): Vec3 => {
  const out = new Float64Array(3);
  bentPoint(bend, x, y, out);
  return [out[0], out[1], out[2]];
};

export interface Random {
  uniform(low?: number, high?: number): number;
  normal(sd?: number): number;
}

/** Small fast generator (mulberry32) with a normal variate by Box and Muller. */
export const random = (seed: number): Random => {
  let a = seed >>> 0;
  const next = () => {
    a = (a + 0x6d2b79f5) >>> 0;
    let t = a;
    t = Math.imul(t ^ (t >>> 15), t | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
  return {
    uniform: (low = 0, high = 1) => low + (high - low) * next(),
    normal: (sd = 1) => sd * Math.sqrt(-2 * Math.log(1 - next())) * Math.cos(2 * Math.PI * next()),
  };
};

export interface BayOptions {
  readonly seed: number;
  readonly photos: number;
  readonly boards: number;
  /** Grid points per side of a board. */
  readonly grid?: number;
  readonly sigmaPx?: number;
  readonly noise?: boolean;
  readonly lensPrior?: boolean;
  readonly focalSd?: number;
  readonly shiftSdPx?: number;
  readonly cellSd?: number;
  readonly printSd?: number;
  readonly bendSd?: number;
  readonly floor?: boolean;
  readonly lengths?: number;
  readonly lengthSdMm?: number;
  /** Cell side, mm; default 13. */
  readonly cellMm?: number;
  /** Hand motion during the read-out; the statement to the network is `motionPrior` or this. */
  readonly motion?: HandOptions;
  readonly motionPrior?: MotionSpread;
  /** Own width and height of the common print, relative standard deviations. */
  readonly printStretchSd?: number;
}

/** Spread of the hand's motion, per axis, from the first to the last line. */
export interface HandOptions {
  readonly turnSd: number;
  readonly shiftSdMm: number;
  /** Amplitude of a trembling turn, rad, and its cycles per read-out. */
  readonly tremor?: { readonly amplitude: number; readonly cycles: number };
  readonly along?: "rows" | "columns";
}

export interface Bay {
  readonly problem: NetworkProblem;
  readonly truth: {
    readonly lens: Lens;
    readonly board: ReadonlyMap<string, Pose>;
    readonly photo: ReadonlyMap<string, Pose>;
    readonly cellMm: ReadonlyMap<string, number>;
    /** Turn (rad) and shift (mm) from the first to the last line, by photo. */
    readonly motion: ReadonlyMap<string, { readonly turn: Vec3; readonly shift: Vec3 }>;
  };
}

export const testLens: Lens = {
  fx: 3000,
  fy: 3004,
  cx: 2010,
  cy: 1506,
  k1: 0.08,
  k2: -0.2,
  p1: 0.0006,
  p2: -0.0004,
  k3: 0.12,
};
const imageSize = [4032, 3024] as const;
const lensSd = [1.5, 1.5, 1.2, 1.2, 0.002, 0.01, 0.0001, 0.0001, 0.02];

export const lensPriorCovariance = (): Float64Array => {
  const c = new Float64Array(lensSize * lensSize);
  lensSd.forEach((sd, i) => {
    c[i * lensSize + i] = sd * sd;
  });
  // fx and fy come out of a calibration strongly correlated.
  c[1] = c[lensSize] = 0.9 * lensSd[0] * lensSd[1];
  return c;
};

const wheelPlaces: readonly { at: Vec3; facing: Vec3 }[] = [
  { at: [0, 850, 320], facing: [0, 1, 0] },
  { at: [0, -850, 320], facing: [0, -1, 0] },
  { at: [-2650, 850, 320], facing: [0, 1, 0] },
  { at: [-2650, -850, 320], facing: [0, -1, 0] },
];

/** Upright board whose face looks along `facing` (horizontal or straight up). */
const boardFacing = (at: Vec3, facing: Vec3, r: Random, tilt = 0.05): Pose => {
  const up: Vec3 =
    Math.abs(facing[2]) > 0.9
      ? [Math.cos(r.uniform(0, 6.28)), Math.sin(r.uniform(0, 6.28)), 0]
      : [0, 0, 1];
  const z = unit(facing);
  const x = unit(cross(up, z));
  const y = cross(z, x);
  const R: Mat3 = [x[0], y[0], z[0], x[1], y[1], z[1], x[2], y[2], z[2]];
  const wobble = expRotation([r.normal(tilt), r.normal(tilt), r.normal(0.3)]);
  return { R: matMul(R, wobble), t: at };
};

const placeBoards = (count: number, r: Random, flat: boolean): Pose[] => {
  const poses: Pose[] = [];
  for (let i = 0; i < count; i++) {
    if (i < wheelPlaces.length && count >= 8)
      poses.push(boardFacing(wheelPlaces[i].at, wheelPlaces[i].facing, r));
    else if (i % 5 === 4) {
      const at: Vec3 = [
        1800 + r.uniform(-300, 300),
        r.uniform(-700, 700),
        900 + r.uniform(-250, 250),
      ];
      poses.push(boardFacing(at, [-1, 0, 0], r));
    } else {
      const spread = Math.max(1, Math.sqrt(count / 25));
      const at: Vec3 = [
        r.uniform(-3200, 2200) * spread,
        r.uniform(-1900, 1900) * spread,
        flat ? 0 : r.uniform(0, 15),
      ];
      poses.push(boardFacing(at, [0, 0, 1], r, flat ? 0.01 : 0.02));
    }
  }
  return poses;
};

/** cameraFromBay of a camera at `from` that looks at `to`, turned about its axis by `roll`. */
export const lookAt = (from: Vec3, to: Vec3, roll: number): Pose => {
  const z = unit(sub(to, from));
  const x = unit(cross(z, [0, 0, 1]));
  const y = cross(z, x);
  const bayFromCamera: Mat3 = [x[0], y[0], z[0], x[1], y[1], z[1], x[2], y[2], z[2]];
  const R = matMul(transpose(expRotation([0, 0, roll])), transpose(bayFromCamera));
  return { R, t: transform({ R, t: [0, 0, 0] }, [-from[0], -from[1], -from[2]]) };
};

const half = 7;

export const gridPoints = (n: number): Float64Array => {
  const points = new Float64Array(2 * n * n);
  for (let i = 0; i < n; i++)
    for (let k = 0; k < n; k++) {
      points[2 * (i * n + k)] = -half + (2 * half * k) / (n - 1);
      points[2 * (i * n + k) + 1] = half - (2 * half * i) / (n - 1);
    }
  return points;
};

/** True where the board faces the camera and lies wholly in the picture. */
const isSeen = (camera: Pose, board: Pose, cell: number, lens: Lens): boolean => {
  const toCamera = sub(invert(camera).t, board.t);
  const normal: Vec3 = [board.R[2], board.R[5], board.R[8]];
  const cosine = dot(unit(toCamera), normal);
  const distance = Math.sqrt(dot(toCamera, toCamera));
  if (cosine < 0.3 || distance > 5500 || distance < 350) return false;
  for (const [x, y] of [
    [-half, -half],
    [half, -half],
    [half, half],
    [-half, half],
  ]) {
    const inCamera = carried([camera, board], [x * cell, y * cell, 0]);
    if (inCamera[2] < 200 || Math.hypot(inCamera[0], inCamera[1]) > 0.95 * inCamera[2])
      return false;
    const pixel = truePixelOf(lens, [], inCamera);
    if (!pixel) return false;
    if (
      pixel[0] < 20 ||
      pixel[1] < 20 ||
      pixel[0] > imageSize[0] - 20 ||
      pixel[1] > imageSize[1] - 20
    )
      return false;
  }
  return true;
};

interface TestHand {
  readonly turn: Vec3;
  readonly shift: Vec3;
  readonly tremor: readonly { amplitude: number; phase: number; cycles: number }[];
  readonly coordinate: 0 | 1;
}

const drawHand = (options: HandOptions, r: Random): TestHand => {
  const three = (sd: number): Vec3 => [r.normal(sd), r.normal(sd), r.normal(sd)];
  const { amplitude, cycles } = options.tremor ?? { amplitude: 0, cycles: 0 };
  return {
    turn: three(options.turnSd),
    shift: three(options.shiftSdMm),
    tremor: [0, 1, 2].map(() => ({
      amplitude: amplitude * r.uniform(0.5, 1.5),
      phase: r.uniform(0, 2 * Math.PI),
      cycles: cycles * r.uniform(0.8, 1.2),
    })),
    coordinate: options.along === "columns" ? 0 : 1,
  };
};

/** Pixel of a point through the line that shows it: finite turns, line found by repetition. */
const seenByLine = (
  inCamera: Vec3,
  { turn, shift, tremor, coordinate }: TestHand,
  see: (at: Vec3) => [number, number],
): [number, number] => {
  const lines = imageSize[coordinate === 0 ? 0 : 1];
  let pixel = see(inCamera);
  for (let i = 0; i < 20; i++) {
    const t = (pixel[coordinate] + 0.5) / lines - 0.5;
    const w = turn.map((v, k) => {
      const { amplitude, phase, cycles } = tremor[k];
      return v * t + amplitude * (Math.sin(2 * Math.PI * cycles * t + phase) - Math.sin(phase));
    });
    const moved: Pose = {
      R: expRotation([w[0], w[1], w[2]]),
      t: [shift[0] * t, shift[1] * t, shift[2] * t],
    };
    pixel = see(transform(moved, inCamera));
  }
  return pixel;
};

export const makeBay = (options: BayOptions): Bay => {
  const r = random(options.seed);
  const grid = gridPoints(options.grid ?? 5);
  const sigma = options.sigmaPx ?? 0.1;
  const noisy = options.noise ?? true;
  const draw = (sd: number) => (noisy && sd > 0 ? r.normal(sd) : 0);
  const cellMm = options.cellMm ?? 13;
  const boardPoses = placeBoards(options.boards, r, options.floor === true);
  const printChange = draw(options.printSd ?? 0);
  const cells = boardPoses.map(() => cellMm * (1 + draw(options.cellSd ?? 0)) * (1 + printChange));
  const stretchSd = options.printStretchSd ?? 0;
  const [wider, taller] = [1 + draw(stretchSd), 1 + draw(stretchSd)];
  const motions = new Map<string, { turn: Vec3; shift: Vec3 }>();
  const bends = boardPoses.map(() => {
    const sd = options.bendSd ?? 0;
    return { m: draw(sd), d: draw(sd * Math.SQRT1_2), e: draw(sd * Math.SQRT1_2) };
  });
  const focalSd = options.focalSd ?? 0.003;
  const shiftSdPx = options.shiftSdPx ?? 8;
  // The stated lens is the true one moved by its own uncertainty.
  const truth = testLens;
  const stated = { ...truth };
  if (options.lensPrior !== false && noisy) {
    const common = r.normal();
    stated.fx += lensSd[0] * (Math.sqrt(0.9) * common + Math.sqrt(0.1) * r.normal());
    stated.fy += lensSd[1] * (Math.sqrt(0.9) * common + Math.sqrt(0.1) * r.normal());
    for (const [i, name] of (["cx", "cy", "k1", "k2", "p1", "p2", "k3"] as const).entries())
      stated[name] += r.normal(lensSd[i + 2]);
  }
  const photoPoses = placePhotos(options.photos, boardPoses, cells, r);
  const observations: NetworkProblem["observations"][number][] = [];
  photoPoses.forEach((camera, p) => {
    const change = { focal: draw(focalSd), shiftX: draw(shiftSdPx), shiftY: draw(shiftSdPx) };
    const hand = options.motion ? drawHand(options.motion, r) : null;
    if (hand) motions.set(`p${p}`, hand);
    boardPoses.forEach((board, b) => {
      if (!isSeen(camera, board, cells[b], truth)) return;
      const pixels = new Float64Array(grid.length);
      for (let i = 0; i < grid.length; i += 2) {
        const [x, y] = [grid[i] * cells[b] * wider, grid[i + 1] * cells[b] * taller];
        const point = pointOn(bends[b], x, y);
        const inCamera = carried([camera, board], point);
        const pixel = hand
          ? seenByLine(inCamera, hand, (at) => truePixelOf(truth, [], at, change)!)
          : truePixelOf(truth, [], inCamera, change)!;
        pixels[i] = pixel[0] + draw(sigma);
        pixels[i + 1] = pixel[1] + draw(sigma);
      }
      observations.push({
        photo: `p${p}`,
        board: `${b}`,
        boardPoints: grid,
        pixels,
        noise: { kind: "isotropic", sigmaPx: sigma },
      });
    });
  });
  const lengths = Array.from({ length: options.lengths ?? 0 }, (_, i) => {
    const a = i % options.boards;
    const b = (i * 3 + 2) % options.boards;
    const sdMm = options.lengthSdMm ?? 1;
    const between = sub(boardPoses[a].t, boardPoses[b].t);
    return {
      key: `L${i}`,
      from: { board: `${a}` },
      to: { board: `${b}` },
      lengthMm: Math.sqrt(dot(between, between)) + draw(sdMm),
      sdMm,
    };
  }).filter((l) => l.from.board !== l.to.board);
  const onFloor = boardPoses.flatMap((pose, i) => (options.floor && pose.t[2] === 0 ? [i] : []));
  const problem: NetworkProblem = {
    cameras: [
      {
        key: "phone",
        lens: stated,
        priorCovariance: options.lensPrior === false ? null : lensPriorCovariance(),
        free: new Array(lensSize).fill(options.lensPrior !== false),
        focalSd,
        shiftSdPx,
        ...(options.motionPrior && { motion: options.motionPrior }),
      },
    ],
    photos: photoPoses.map((_, i) => ({
      key: `p${i}`,
      camera: "phone",
      ...(options.motionPrior && {
        readout: {
          along: options.motion?.along ?? "rows",
          length: imageSize[options.motion?.along === "columns" ? 0 : 1],
        },
      }),
    })),
    boards: boardPoses.map((_, i) => ({
      key: `${i}`,
      cellMm,
      cellSd: options.cellSd ?? 0,
      print: options.printSd || stretchSd > 0 ? "run" : null,
      bendSd: options.bendSd ?? 0,
    })),
    prints:
      options.printSd || stretchSd > 0
        ? [{ key: "run", scaleSd: options.printSd ?? 0, widthSd: stretchSd, heightSd: stretchSd }]
        : [],
    observations,
    lengths,
    floor: onFloor.map((i) => ({
      board: `${i}`,
      heightMm: draw(1),
      heightSdMm: 1,
      tiltSd: 0.01,
    })),
    frames: [],
    scalars: [],
    chains: [],
  };
  return {
    problem,
    truth: {
      lens: truth,
      board: new Map(boardPoses.map((pose, i) => [`${i}`, pose])),
      photo: new Map(photoPoses.map((pose, i) => [`p${i}`, pose])),
      cellMm: new Map(cells.map((cell, i) => [`${i}`, cell])),
      motion: motions,
    },
  };
};

/** Photos from a walk around the bay; the last ones seek boards that too few photos have seen. */
const placePhotos = (
  count: number,
  boards: readonly Pose[],
  cells: readonly number[],
  r: Random,
): Pose[] => {
  const seen = new Array<number>(boards.length).fill(0);
  const joined = new Set<number>([0]);
  const poses: Pose[] = [];
  while (poses.length < count) {
    let best: { pose: Pose; value: number; shows: number[] } | null = null;
    for (let trial = 0; trial < 60; trial++) {
      const target = boards[Math.floor(r.uniform(0, boards.length))];
      const angle = r.uniform(0, 2 * Math.PI);
      const distance = r.uniform(900, 3800);
      const from: Vec3 = [
        target.t[0] + distance * Math.cos(angle),
        target.t[1] + distance * Math.sin(angle),
        r.uniform(900, 2100),
      ];
      const aim: Vec3 = [
        target.t[0] + r.normal(300),
        target.t[1] + r.normal(300),
        target.t[2] + r.normal(100),
      ];
      const pose = lookAt(from, aim, r.normal(0.1) + (r.uniform() < 0.25 ? Math.PI / 2 : 0));
      const shows = boards.flatMap((board, i) =>
        isSeen(pose, board, cells[i], testLens) ? [i] : [],
      );
      const joins = shows.some((i) => joined.has(i));
      if (!joins) continue;
      const value =
        shows.reduce((s, i) => s + 1 / (1 + seen[i]) ** 2 + (joined.has(i) ? 0 : 3), 0) +
        r.uniform(0, 0.3);
      if (!best || value > best.value) best = { pose, value, shows };
    }
    if (!best) continue;
    poses.push(best.pose);
    for (const i of best.shows) {
      seen[i]++;
      joined.add(i);
    }
  }
  return poses;
};

/** Drops boards and photos that too few views hold, so that what is left hangs together. */
export const prune = (bay: Bay, minimum = 2): Bay => {
  let { observations, boards, photos } = bay.problem;
  for (let changed = true; changed; ) {
    const count = (key: string, of: "photo" | "board") =>
      observations.filter((o) => o[of] === key).length;
    const keptBoards = boards.filter((b) => count(b.key, "board") >= minimum);
    const keptPhotos = photos.filter((p) => count(p.key, "photo") >= minimum);
    changed = keptBoards.length < boards.length || keptPhotos.length < photos.length;
    boards = keptBoards;
    photos = keptPhotos;
    observations = observations.filter(
      (o) => boards.some((b) => b.key === o.board) && photos.some((p) => p.key === o.photo),
    );
  }
  const has = (key: string) => boards.some((b) => b.key === key);
  return {
    ...bay,
    problem: {
      ...bay.problem,
      boards,
      photos,
      observations,
      lengths: bay.problem.lengths.filter((l) => has(l.from.board) && has(l.to.board)),
      floor: bay.problem.floor.filter((f) => has(f.board)),
    },
  };
};

/** Relative pose of two boards from the truth: first from second. */
export const trueRelative = (bay: Bay, a: string, b: string): Pose => {
  const inverse = invert(bay.truth.board.get(a)!);
  const other = bay.truth.board.get(b)!;
  return { R: matMul(inverse.R, other.R), t: transform(inverse, other.t) };
};

/** A bay that is seen without noise through a steady lens, ten boards, each in four photos at least. */
export const steadyBay = (seed: number, photos: number, more: Partial<BayOptions> = {}): Bay =>
  prune(
    makeBay({
      ...{ seed, photos, boards: 10, noise: false, focalSd: 0, shiftSdPx: 0 },
      ...{ sigmaPx: 0.1, lengths: 3 },
      ...more,
    }),
    4,
  );
