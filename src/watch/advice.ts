/**
 * What to tell a person who aims the phone, from the tags in a few frames of the stream. Frames guide
 * and are never measured.
 */

export interface LiveBoard {
  readonly id: number;
  /** x0 y0 .. x3 y3 of the black tag, px of the frame. */
  readonly corners: readonly number[];
  /** Share of the board's area that is burnt out. */
  readonly burnt: number;
}

export interface LiveFrame {
  /** ms. */
  readonly at: number;
  readonly width: number;
  readonly height: number;
  readonly boards: readonly LiveBoard[];
}

export type Advice =
  | { readonly code: "none" }
  | { readonly code: "closer"; readonly board: number }
  | { readonly code: "flat"; readonly board: number }
  | { readonly code: "glare"; readonly board: number }
  | { readonly code: "hold still" }
  | { readonly code: "more boards"; readonly count: number }
  | { readonly code: "wanted"; readonly board: number }
  | { readonly code: "nothing new" }
  | { readonly code: "good" };

export interface LiveState {
  readonly advice: Advice;
  /** Greatest movement of a board, shares of the picture's width a second; null without two frames. */
  readonly speed: number | null;
  /** Still and good for long enough that a photo may be taken by itself. */
  readonly ready: boolean;
}

/** Our own, no source: at 6 px a cell in a photo of 4032 px the print fit is at ease. */
const cellShare = 6 / 4032;
/** A tag seen this flat (shorter over longer side) is hardly measured. */
const flattest = 0.3;
/** A photo ties boards together only where there are several. */
export const fewestBoards = 3;
/** Slower than this is still: 1/50 s then smears 1 px in 4000. Shares of the width a second. */
const stillSpeed = 0.012;
/** ms of stillness before a photo. */
const stillFor = 500;
const burntShare = 0.3;
/** A board that was seen so shortly before is looked for as one behind glare, ms. */
const recently = 1500;
const tagCells = 8;

export class LiveGuide {
  private last: LiveFrame | null = null;
  private stillSince: number | null = null;
  private readonly lately = new Map<number, { at: number; burnt: number }>();

  /** `seen`: in how many photos each board of the job is so far; `wanted`: how many it needs. */
  push(frame: LiveFrame, seen: ReadonlyMap<number, number>, wanted: number): LiveState {
    const speed = this.last ? speedOf(this.last, frame) : null;
    this.last = frame;
    const still = speed !== null && speed < stillSpeed;
    this.stillSince = still ? (this.stillSince ?? frame.at) : null;
    const problem = this.problemOf(frame, speed);
    for (const { id, burnt } of frame.boards) this.lately.set(id, { at: frame.at, burnt });
    if (problem) return { advice: problem, speed, ready: false };
    const fresh = frame.boards.some(({ id }) => (seen.get(id) ?? 0) < wanted);
    const missing = [...seen].find(
      ([id, count]) => count < wanted && !frame.boards.some((board) => board.id === id),
    );
    if (!fresh) {
      const advice: Advice = missing
        ? { code: "wanted", board: missing[0] }
        : { code: "nothing new" };
      return { advice, speed, ready: false };
    }
    const ready = this.stillSince !== null && frame.at - this.stillSince >= stillFor;
    return { advice: { code: still ? "good" : "hold still" }, speed, ready };
  }

  private problemOf(frame: LiveFrame, speed: number | null): Advice | null {
    const { boards, width, height, at } = frame;
    if (boards.length === 0) return { code: "none" };
    const glaring = boards.find(({ burnt }) => burnt > burntShare);
    if (glaring) return { code: "glare", board: glaring.id };
    for (const [id, last] of this.lately) {
      const gone = !boards.some((board) => board.id === id) && at - last.at < recently;
      if (gone && last.burnt > burntShare / 2) return { code: "glare", board: id };
    }
    if (speed !== null && speed > 5 * stillSpeed) return { code: "hold still" };
    const longer = Math.max(width, height);
    const small = boards.find((board) => longestSide(board) / tagCells / longer < cellShare);
    if (small) return { code: "closer", board: small.id };
    const flat = boards.find((board) => shortestSide(board) / longestSide(board) < flattest);
    if (flat) return { code: "flat", board: flat.id };
    return boards.length < fewestBoards ? { code: "more boards", count: boards.length } : null;
  }
}

function sidesOf({ corners: c }: LiveBoard): number[] {
  return [0, 1, 2, 3].map((i) => {
    const j = (i + 1) % 4;
    return Math.hypot(c[2 * i] - c[2 * j], c[2 * i + 1] - c[2 * j + 1]);
  });
}

const longestSide = (board: LiveBoard): number => Math.max(...sidesOf(board));
const shortestSide = (board: LiveBoard): number => Math.min(...sidesOf(board));

/** Null where the frames have no board in common. */
function speedOf(before: LiveFrame, now: LiveFrame): number | null {
  const seconds = (now.at - before.at) / 1000;
  if (!(seconds > 0)) return null;
  let most: number | null = null;
  for (const { id, corners } of now.boards) {
    const earlier = before.boards.find((board) => board.id === id)?.corners;
    if (!earlier) continue;
    for (let i = 0; i < corners.length; i += 2) {
      const way = Math.hypot(corners[i] - earlier[i], corners[i + 1] - earlier[i + 1]);
      most = Math.max(most ?? 0, way / now.width / seconds);
    }
  }
  return most;
}
