import type { Adjusted } from "../adjust.ts";
import type { Remark } from "../problem/codes.ts";
import { boardName, boardNumber, sourceWords } from "../problem/names.ts";
import type { DownWeighted } from "../solve/residuals.ts";
import type { ElementTest } from "./element-tests.ts";
import type { MovedBoard } from "./moved-boards.ts";
import type { ScaleTest } from "./print-scale.ts";
import type { SharedMisfit } from "./shared-misfit.ts";
import { isTwoPlaces, type TwoPlaces, twoPlacesRemark } from "./two-places.ts";
import { viewpointRemark } from "./viewpoints.ts";

/**
 * Something that contradicts the rest, as a sentence, with the factors (views first, then statements)
 * that would have to go for the contradiction to go: whoever knows the checks can tell what it costs.
 */
export interface Suspect {
  readonly remark: Remark;
  readonly factors: readonly number[];
  /** Residual of the view, px; null where the suspect is no single view. */
  readonly residualPx: number | null;
}

/** Coverage factor of the uncertainty of a print scale in the sentence: about 95 %. */
const coverageFactor = 2;
/** Beyond this many standard uncertainties the number says nothing more. Our own, no source. */
const mostTold = 20;

/** What diagnosis found, before it is put into words. */
export interface Found {
  readonly misfits: readonly ElementTest[];
  /** Misfits beyond those that were looked into. */
  readonly further: number;
  readonly scaled: readonly ScaleTest[];
  readonly moved: readonly MovedBoard[];
  readonly twice: readonly TwoPlaces[];
  readonly shared: SharedMisfit | null;
  /** False where the photos as a whole fit worse than their noise allows. */
  readonly passes: boolean;
  readonly adjusted: Adjusted;
}

/** Single things that contradict the rest. */
export const suspectsOf = (found: Found): Suspect[] => {
  const { misfits, scaled, twice, shared, adjusted } = found;
  const elsewhere = (photo?: string, board?: string): boolean =>
    twice.some((t) => t.board === board && t.photos.includes(photo ?? ""));
  const ofScale = (t: ElementTest): boolean =>
    scaled.some((s) => s.board === t.board || isCellSize(t, s.board));
  const single = misfits.filter(
    (t) => !elsewhere(t.photo, t.board) && !ofScale(t) && !isOfCause(t, shared),
  );
  const light = adjusted.downWeighted.filter(
    (d) =>
      shared === null &&
      !elsewhere(d.photo, d.board) &&
      !scaled.some((s) => s.board === d.board) &&
      !misfits.some((t) => t.photo === d.photo && t.board === d.board),
  );
  // Focal length and picture centre of one photo are one thing: the photo.
  const once = single.filter(
    (t, i) => !t.ofPhoto || single.findIndex(({ ofPhoto }) => ofPhoto === t.ofPhoto) === i,
  );
  return [
    ...scaled.map((s) => scaleSuspect(s, adjusted)),
    ...once.map((t) => misfitSuspect(t, adjusted)),
    ...light.map((d) => lightSuspect(d, adjusted)),
  ];
};

/** Remarks on the adjustment as a whole: moved boards, viewpoints, the overall misfit. */
export const generalRemarks = (found: Found, suspects: number): Remark[] => {
  const { moved, twice, shared, further, passes, adjusted } = found;
  const shifted = moved.filter((m) => !isTwoPlaces(adjusted, m));
  const overall = !passes && shared === null && suspects + moved.length + twice.length === 0;
  const onePlace = viewpointRemark(adjusted.internals);
  return [
    ...twice.map(twoPlacesRemark),
    ...shifted.map(movedRemark),
    ...(further > 0 ? [furtherRemark(further)] : []),
    ...(overall ? [overallRemark(Math.sqrt(adjusted.sigma0Squared))] : []),
    ...(onePlace ? [onePlace] : []),
    ...adjusted.remarks,
  ];
};

const isCellSize = (t: ElementTest, board: string): boolean =>
  t.source === "print scale" && t.boards.includes(board);

const causeOf: Readonly<Partial<Record<ElementTest["source"], SharedMisfit["cause"]>>> = {
  "hand motion": "motion",
  lens: "lens",
  "print scale": "print",
  "focus and stabilisation": "focus",
};

/** Statements that the shared cause covers; the lens as a whole is compared with the profile elsewhere. */
const isOfCause = (t: ElementTest, shared: SharedMisfit | null): boolean =>
  t.kind === "statement" &&
  (t.source === "lens" || (shared !== null && causeOf[t.source] === shared.cause));

const residualOf = ({ internals }: Adjusted, index: number): number => {
  const view = internals.model.views[index];
  const out = new Float64Array(view.observation.pixels.length);
  if (!view.pixelResiduals(internals.state, out)) return Number.POSITIVE_INFINITY;
  return Math.sqrt(out.reduce((sum, v) => sum + v * v, 0) / out.length);
};

const viewIndex = ({ internals }: Adjusted, photo: string, board: string): number =>
  internals.model.views.findIndex(
    ({ observation }) => observation.photo === photo && observation.board === board,
  );

const scaleSuspect = (s: ScaleTest, { internals: { model }, downWeighted }: Adjusted): Suspect => {
  const board = model.layout.boardIndex.get(s.board)!;
  const block = model.layout.boardBlock[board];
  const isLight = (photo: string) =>
    downWeighted.some((d) => d.board === s.board && d.photo === photo);
  const light = model.views.flatMap(({ observation }, i) =>
    observation.board === s.board && isLight(observation.photo) ? [i] : [],
  );
  // Where its neighbours outvoted the board, what costs nothing any more are those views.
  const statements = model.statements.flatMap(({ source, blocks }, i) =>
    source === "print scale" && blocks.some((b) => model.layout.blocks[b] === block)
      ? [model.views.length + i]
      : [],
  );
  return {
    factors: light.length > 0 ? light : statements,
    residualPx: null,
    remark: {
      code: "board-scaled",
      values: { board: boardNumber(s.board), scale: s.scale, doubt: coverageFactor * s.scaleSd },
      severity: "warning",
      message: `${capital(boardName(s.board))} seems to be printed at ${(100 * s.scale).toFixed(2)} % of its stated size (uncertain by ${(100 * coverageFactor * s.scaleSd).toFixed(2)} %).`,
      remedy: "Measure the check bar on this board again and enter its length.",
      about: boardNumber(s.board),
    },
  };
};

const misfitSuspect = (t: ElementTest, adjusted: Adjusted): Suspect => {
  if (t.kind === "view") return viewSuspect(t, adjusted);
  if (t.ofPhoto !== undefined) return photoSuspect(t, t.ofPhoto, adjusted);
  const off = Math.abs(t.biasSds ?? 0);
  const boards = [...new Set(t.boards.map(boardNumber))];
  const what = `${sourceWords[t.source]}${boards.length > 0 ? ` (board ${boards.join(", ")})` : ""}`;
  const times = off > mostTold ? `more than ${mostTold}` : off.toFixed(1);
  return {
    factors: [adjusted.internals.model.views.length + t.index],
    residualPx: null,
    remark: {
      code: "statement-does-not-fit",
      values: { source: t.source, boards, count: boards.length, off: Math.min(off, mostTold) },
      severity: "warning",
      message: `${what} does not fit the photos: it is off by ${times} times its stated standard uncertainty.`,
      remedy: "Measure it again, or state a larger uncertainty.",
      about: boards.join(", "),
    },
  };
};

/** A photo whose own focal length or picture centre is not what its camera does. */
const photoSuspect = (t: ElementTest, photo: string, { internals }: Adjusted): Suspect => {
  const { views, statements } = internals.model;
  const off = Math.abs(t.biasSds ?? 0);
  const times = off > mostTold ? `more than ${mostTold}` : off.toFixed(1);
  return {
    factors: statements.flatMap((s, i) => (s.ofPhoto === photo ? [views.length + i] : [])),
    residualPx: null,
    remark: {
      code: "photo-altered",
      values: { photo, off: Math.min(off, mostTold) },
      severity: "warning",
      message:
        `Photo ${photo} as a whole does not fit the camera: its zoom or its centre differs by ` +
        `${times} times what focus and stabilisation do.`,
      remedy:
        "It may have been turned, cropped, straightened or edited: give the file as the camera " +
        "wrote it, or take the photo again.",
      about: photo,
    },
  };
};

const viewSuspect = (t: ElementTest, adjusted: Adjusted): Suspect => {
  const board = boardNumber(t.board ?? "");
  return {
    factors: [t.index],
    residualPx: residualOf(adjusted, t.index),
    remark: {
      code: "does-not-fit",
      values: { photo: t.photo ?? "", board },
      severity: "warning",
      message: `${capital(boardName(t.board ?? ""))} in photo ${t.photo} does not fit the rest.`,
      remedy: `Look at photo ${t.photo}: is the board hidden in part, bent, or was it touched?`,
      about: t.photo,
    },
  };
};

const lightSuspect = (d: DownWeighted, adjusted: Adjusted): Suspect => ({
  factors: [viewIndex(adjusted, d.photo, d.board)],
  residualPx: d.residualPx,
  remark: {
    code: "given-less-weight",
    values: {
      board: boardNumber(d.board),
      photo: d.photo,
      px: d.residualPx,
      share: d.weight,
    },
    severity: "warning",
    message: `${capital(boardName(d.board))} in photo ${d.photo} fits badly (${d.residualPx.toFixed(2)} px) and counts for only ${Math.round(100 * d.weight)} %.`,
    remedy: "Look at that photo.",
    about: d.photo,
  },
});

const movedRemark = (m: MovedBoard): Remark => ({
  code: "board-moved",
  values: {
    board: boardNumber(m.board),
    shift: m.shiftMm,
    turn: m.turnDeg,
    before: m.lastBefore,
    after: m.firstAfter,
  },
  severity: "warning",
  message: `${capital(boardName(m.board))} moved by ${m.shiftMm.toFixed(1)} mm and ${m.turnDeg.toFixed(2)} degrees between photo ${m.lastBefore} and photo ${m.firstAfter}.`,
  remedy:
    "Its place before and its place after are kept apart. Fix the board and take the photos again if both are needed.",
  about: boardNumber(m.board),
});

const furtherRemark = (count: number): Remark => ({
  code: "misfits-more",
  values: { count },
  severity: "warning",
  message: `${count} further ${count === 1 ? "view or statement does" : "views and statements do"} not fit either.`,
  remedy: "Put right what is named, and measure again.",
});

const overallRemark = (factor: number): Remark => ({
  code: "misfit-overall",
  values: { factor },
  severity: "warning",
  message: `On the whole the photos fit ${factor.toFixed(1)} times worse than stated, with no single cause.`,
  remedy: "Check that the camera profile belongs to this phone and that the boards are flat.",
});

const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);
