/**
 * What detection would say of simulated photos, without pixels: traced places of the features with
 * noise as the print fit leaves it. For statistics of everything behind detection, fast.
 */
import { sheetId, sheetMarkers } from "../../../src/boards/sheet.ts";
import type { BoardView, PhotoOutcome } from "../../../src/detect/findings/findings.ts";
import type { TruePrint } from "../../tools/phone/bay.ts";
import { cornersInPhoto } from "../../tools/phone/corners.ts";
import { Chance, type Rigid } from "../../tools/phone/maths.ts";
import type { Session } from "../../tools/phone/session.ts";
import { type Shot, visibleBoards } from "../../tools/phone/shots.ts";
import { exifOf } from "./exif.ts";
import type { Views } from "./views.ts";

/**
 * Noise of one of a board's 16 points, px: its centre is then good to a quarter of that, as the
 * corner bench finds for print fits of soft to sharp boards.
 */
export const boardNoisePx = [0.012, 0.035] as const;
/** Of one marker's centre on the sheet; the sample's sheet photos gave 0.007. */
export const sheetNoisePx = 0.012;

const grid = [-6, -2, 2, 6];
const boardPlaces = Float64Array.from(grid.flatMap((y) => grid.flatMap((x) => [x, y])));
const sheetPlaces = Float64Array.from(sheetMarkers.flatMap(({ x, y }) => [x, y]));

/** A print as a photo shows it, its features disturbed by `sigmaPx`; null where it is not seen. */
export const tracedView = (
  shot: Shot,
  print: TruePrint,
  worldFromBoard: Rigid,
  sigmaPx: number,
  c: Chance,
): BoardView | null => {
  const sheet = print.id === "sheet";
  const places = sheet ? sheetPlaces : boardPlaces;
  const exact = cornersInPhoto(shot, print, worldFromBoard, places);
  if (!exact) return null;
  const { width, height } = shot.phone.lens;
  const points: number[] = [];
  const pixels: number[] = [];
  for (let i = 0; i < places.length; i += 2) {
    const [u, v] = [exact[i], exact[i + 1]];
    if (sheet && (u < 30 || v < 30 || u > width - 31 || v > height - 31)) continue;
    points.push(places[i], places[i + 1]);
    pixels.push(u + c.normal(sigmaPx), v + c.normal(sigmaPx));
  }
  const shown = places.length / 2;
  return {
    id: print.id === "sheet" ? sheetId : print.id,
    boardPoints: Float64Array.from(points),
    pixels: Float64Array.from(pixels),
    noise: { kind: "isotropic", sigmaPx },
    outline: new Float64Array(8),
    quality: {
      grade: "good",
      reasons: [],
      cellPx: Math.hypot(exact[2] - exact[0], exact[3] - exact[1]) / (sheet ? 16 : 4),
      obliquityDeg: 30,
      blurPx: 1,
      contrast: 150,
      coveredShare: 1 - pixels.length / 2 / shown,
      residualPx: sigmaPx,
    },
  };
};

const outcome = (shot: Shot, boards: readonly BoardView[]): PhotoOutcome => ({
  ok: true,
  findings: {
    name: shot.name,
    width: shot.phone.lens.width,
    height: shot.phone.lens.height,
    exif: exifOf(shot),
    boards,
    remarks: [],
    timesMs: { decode: 0, find: 0, refine: 0 },
  },
});

const one: Rigid = { q: [1, 0, 0, 0], p: [0, 0, 0] };

export const tracedViews = (session: Session): Views => {
  const c = new Chance(session.seed, 7);
  const { bay, bayAfter } = session;
  const ofSheet = (shot: Shot): PhotoOutcome => {
    const seen = tracedView(shot, bay.sheet, one, sheetNoisePx, c);
    return outcome(shot, seen ? [seen] : []);
  };
  const sheet = session.sheet.map(ofSheet);
  const boardsOf = (of: typeof bay, shot: Shot): BoardView[] =>
    visibleBoards(of, shot).flatMap((board) => {
      const sigma = c.even(...boardNoisePx);
      return tracedView(shot, board, board.worldFromBoard, sigma, c) ?? [];
    });
  const photos = session.photos.map((shot) => outcome(shot, boardsOf(bay, shot)));
  const after = session.after.map((shot) => outcome(shot, boardsOf(bayAfter, shot)));
  const secondSheet = session.secondSheet.map(ofSheet);
  return {
    sheet: () => sheet,
    secondSheet: () => secondSheet,
    photos: () => [...photos, ...after],
  };
};
