/**
 * An invented phone that photographs the camera sheet, at the level of features: true lens, true
 * change in every photo, pixel noise. Deterministic for a seed. Its projection is written out here
 * on purpose and does not use the project's own.
 */
import { sheetId, sheetMarkers, sheetSquareMm } from "../../../src/boards/sheet.ts";
import type { BoardView } from "../../../src/detect/findings/findings.ts";
import type { Lens } from "../../../src/lens/lens.ts";
import type { ExifFacts } from "../../../src/photo/exif/exif-facts.ts";

export interface Chance {
  /** Uniform in [low, high). */
  uniform(low: number, high: number): number;
  normal(sd?: number): number;
}

/** Small deterministic generator (mulberry32) with Box-Muller normals. */
export const chance = (seed: number): Chance => {
  let state = seed >>> 0;
  const next = (): number => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = Math.imul(state ^ (state >>> 15), state | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
  return {
    uniform: (low, high) => low + (high - low) * next(),
    normal: (sd = 1) => sd * Math.sqrt(-2 * Math.log(1 - next())) * Math.cos(2 * Math.PI * next()),
  };
};

export interface SimulatedPhone {
  readonly width: number;
  readonly height: number;
  readonly lens: Lens;
  readonly focalSd: number;
  readonly shiftSdPx: number;
}

/** A phone main camera of about 26 mm equivalent with moderate distortion of any sign. */
export const inventPhone = (r: Chance): SimulatedPhone => {
  const f = 3030 * (1 + r.normal(0.03));
  return {
    width: 4032,
    height: 3024,
    lens: {
      fx: f,
      fy: f * (1 + r.normal(0.0003)),
      cx: 2015.5 + r.normal(20),
      cy: 1511.5 + r.normal(20),
      k1: r.normal(0.06),
      k2: r.normal(0.08),
      p1: r.normal(0.0005),
      p2: r.normal(0.0005),
      k3: r.normal(0.05),
    },
    focalSd: r.uniform(0.001, 0.004),
    shiftSdPx: r.uniform(2, 12),
  };
};

/** Where the sheet is in one photo: tilt, its direction, roll (deg), distance (mm), place. */
export interface SheetPlace {
  readonly tiltDeg: number;
  readonly towardsDeg: number;
  readonly rollDeg: number;
  readonly distanceMm: number;
  /** Sheet centre in the frame, -1..1 each. */
  readonly x: number;
  readonly y: number;
}

/**
 * The photos the guidance asks for: sheet across the frame and into each corner, tilts of 20 to 45
 * degrees to all sides, upright and on its side, near and far.
 */
export const goodPlaces = (count: number, r: Chance): SheetPlace[] =>
  Array.from({ length: count }, (_, i) => {
    const corner = i % 7;
    const places = [
      [0, 0],
      [-0.5, -0.45],
      [0.5, -0.45],
      [0.5, 0.45],
      [-0.5, 0.45],
      [0, 0.1],
      [0.1, 0],
    ];
    return {
      tiltDeg: i % 7 === 0 ? 8 : r.uniform(22, 45),
      towardsDeg: i * 77 + r.uniform(-20, 20),
      rollDeg: [0, 90, 180, 270][(i * 3) % 4] + r.uniform(-12, 12),
      distanceMm: r.uniform(330, 480),
      x: places[corner][0] + r.uniform(-0.06, 0.06),
      y: places[corner][1] + r.uniform(-0.06, 0.06),
    };
  });

export type Row = [number, number, number];
const turn = (axis: Row, angle: number): Row[] => {
  const [x, y, z] = axis;
  const [c, s] = [Math.cos(angle), Math.sin(angle)];
  const v = 1 - c;
  return [
    [c + x * x * v, x * y * v - z * s, x * z * v + y * s],
    [y * x * v + z * s, c + y * y * v, y * z * v - x * s],
    [z * x * v - y * s, z * y * v + x * s, c + z * z * v],
  ];
};
const times = (a: Row[], b: Row[]): Row[] =>
  a.map(
    (row) => [0, 1, 2].map((j) => row[0] * b[0][j] + row[1] * b[1][j] + row[2] * b[2][j]) as Row,
  );

export interface SimulatedView {
  readonly view: BoardView;
  readonly focal: number;
  readonly shiftX: number;
  readonly shiftY: number;
}

export interface PhotoTrouble {
  /** Sagitta of a cylindrical bend over the sheet's length, mm. */
  readonly bendMm?: number;
  /** Features kept: returns false to cover a feature (row, col of the square that carries the marker). */
  readonly keeps?: (row: number, col: number) => boolean;
}

/** Camera from sheet: rotation rows and position, mm; sheet x right, y up, z out of the face. */
export const sheetPose = (phone: SimulatedPhone, place: SheetPlace): { R: Row[]; t: Row } => {
  const rad = Math.PI / 180;
  const { lens, width, height } = phone;
  const across = place.towardsDeg * rad;
  const faceOn: Row[] = [
    [1, 0, 0],
    [0, -1, 0],
    [0, 0, -1],
  ];
  const R = times(
    turn([Math.cos(across), Math.sin(across), 0], place.tiltDeg * rad),
    times(turn([0, 0, 1], place.rollDeg * rad), faceOn),
  );
  const t: Row = [
    (place.x * (width / 2) * place.distanceMm) / lens.fx,
    (place.y * (height / 2) * place.distanceMm) / lens.fy,
    place.distanceMm,
  ];
  return { R, t };
};

/** One photo of the sheet; features outside the frame are left out, as a finder would. */
export const photographSheet = (
  phone: SimulatedPhone,
  place: SheetPlace,
  noisePx: number,
  r: Chance,
  trouble: PhotoTrouble = {},
): SimulatedView => {
  const focal = r.normal(phone.focalSd);
  const shiftX = r.normal(phone.shiftSdPx);
  const shiftY = r.normal(phone.shiftSdPx);
  const { lens, width, height } = phone;
  const { R, t } = sheetPose(phone, place);
  const boardPoints: number[] = [];
  const pixels: number[] = [];
  for (const { x, y, row, col } of sheetMarkers) {
    if (trouble.keeps && !trouble.keeps(row, col)) continue;
    const X = x * sheetSquareMm;
    const Y = y * sheetSquareMm;
    const Z = (trouble.bendMm ?? 0) * (4 * (Y / 250) ** 2);
    const [px, py, pz] = [0, 1, 2].map((i) => R[i][0] * X + R[i][1] * Y + R[i][2] * Z + t[i]);
    const a = px / pz;
    const b = py / pz;
    const r2 = a * a + b * b;
    const radial = 1 + lens.k1 * r2 + lens.k2 * r2 ** 2 + lens.k3 * r2 ** 3;
    const ad = a * radial + 2 * lens.p1 * a * b + lens.p2 * (r2 + 2 * a * a);
    const bd = b * radial + lens.p1 * (r2 + 2 * b * b) + 2 * lens.p2 * a * b;
    const u = lens.fx * (1 + focal) * ad + lens.cx + shiftX + r.normal(noisePx);
    const v = lens.fy * (1 + focal) * bd + lens.cy + shiftY + r.normal(noisePx);
    if (u < 12 || v < 12 || u > width - 13 || v > height - 13) continue;
    boardPoints.push(x, y);
    pixels.push(u, v);
  }
  const view: BoardView = {
    id: sheetId,
    boardPoints: Float64Array.from(boardPoints),
    pixels: Float64Array.from(pixels),
    noise: { kind: "isotropic", sigmaPx: noisePx },
    outline: new Float64Array(8),
    quality: {
      grade: "good",
      reasons: [],
      cellPx: (lens.fx * sheetSquareMm) / place.distanceMm,
      obliquityDeg: place.tiltDeg,
      blurPx: 0.8,
      contrast: 150,
      coveredShare: 1 - pixels.length / 2 / sheetMarkers.length,
      residualPx: noisePx,
    },
  };
  return { view, focal, shiftX, shiftY };
};

export const inventedExif = (changes: Partial<ExifFacts> = {}): ExifFacts => ({
  make: "Invented",
  model: "Phone One",
  lensModel: "Phone One back camera",
  focalLengthMm: 5.7,
  focalLength35mm: 26,
  digitalZoom: null,
  orientation: 1,
  exposureTimeS: 0.01,
  fNumber: 1.8,
  iso: 100,
  takenAt: "2026:01:02 03:04:05",
  software: null,
  exifWidth: 4032,
  exifHeight: 3024,
  customRendered: null,
  ...changes,
});

export interface SimulatedSheetPhoto {
  readonly photo: string;
  readonly width: number;
  readonly height: number;
  readonly exif: ExifFacts | null;
  readonly view: BoardView;
}

/** A whole set of sheet photos by one phone. */
export const photographAll = (
  phone: SimulatedPhone,
  places: readonly SheetPlace[],
  noisePx: number,
  r: Chance,
  trouble: PhotoTrouble = {},
): SimulatedSheetPhoto[] =>
  places.map((place, i) => ({
    photo: `sheet-${String(i + 1).padStart(2, "0")}.jpg`,
    width: phone.width,
    height: phone.height,
    exif: inventedExif(),
    view: photographSheet(phone, place, noisePx, r, trouble).view,
  }));
