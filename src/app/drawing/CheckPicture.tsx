import type { ReactNode } from "react";
import type { CheckKind } from "../../placement/sheet/sheet.ts";

/**
 * What each kind of number means, as a small picture: the car with its front to the right, thin and
 * dashed; what is measured in the accent. Drawn on a 96 x 64 grid.
 */
const car = "M6 22h24q8 0 10 10q-2 10-10 10H6z";
const carSide = "M4 46V34l8-3 6-9h14l8 10 6 2v12z";
const floor = "M2 50h92";
const wheels = "M10 46a4 4 0 1 0 8 0a4 4 0 1 0-8 0M32 46a4 4 0 1 0 8 0a4 4 0 1 0-8 0";
const line = "M2 32h92";

interface Picture {
  readonly phantom?: string;
  readonly thick?: string;
  readonly centre?: string;
  /** What is asked for. */
  readonly now: string;
}

const plan = { phantom: car };
const side = { phantom: `${carSide}${wheels}`, thick: floor };
const front = "M20 50h56M48 50V36";

const pictures: Readonly<Record<CheckKind, Picture>> = {
  distance: {
    ...plan,
    thick: "M84 18v28",
    centre: "M32 12v40",
    now: "M32 56h52M32 52v8M84 52v8",
  },
  "lateral offset": { ...plan, thick: "M78 4v28", centre: line, now: "M86 18v14M82 18h8M82 32h8" },
  height: { ...side, thick: `${floor}M74 16v18M74 34v16`, now: "M84 25v25M80 25h8M80 50h8" },
  yaw: {
    ...plan,
    thick: "M70 16 82 46",
    centre: line,
    now: "M76 10v44M76 14a18 18 0 0 0-6 2",
  },
  pitch: { ...side, thick: `${floor}M70 16 76 36v14`, now: "M76 10v26M76 14a20 20 0 0 0-6 3" },
  roll: {
    thick: `${front}M24 34l48-12l3 12l-48 12z`,
    now: "M16 44h64M80 44a30 30 0 0 0-3-12",
  },
  "straight distance": {
    ...side,
    thick: `${floor}M80 12v20M80 32v18`,
    now: "M36 46 80 22M33 43l6 6M77 19l6 6",
  },
  range: { ...plan, thick: "M74 6l10 10", now: "M8 40 78 12M5 37l6 6M75 9l6 6" },
  bearing: {
    ...plan,
    thick: "M74 6l10 10",
    centre: "M8 32h70",
    now: "M8 32 78 12M56 32a48 48 0 0 0-3-12",
  },
  "equal diagonals": {
    ...plan,
    thick: "M84 14v36",
    now: "M30 22 84 50M30 42 84 14",
  },
  parallel: {
    ...plan,
    thick: "M76 10 80 54",
    centre: "M32 8v48",
    now: "M70 8v48M70 14h8",
  },
  "mat corner along": {
    ...plan,
    thick: "M60 18h26v28H60z",
    centre: "M32 8v48",
    now: "M32 14h54M32 10v8M86 10v8M83 15l6 6",
  },
  "mat corner across": {
    ...plan,
    thick: "M60 14h26v36H60z",
    centre: line,
    now: "M91 14v18M88 14h6M88 32h6M83 11l6 6",
  },
  "floor flatness": {
    phantom: "M4 30h88",
    thick: "M2 40q12-10 24 0t24 0t24 0t20-4",
    now: "M60 34v12M56 34h8M56 46h8",
  },
  "floor slope": {
    phantom: `${carSide}${wheels}`,
    thick: "M2 50h46L94 40",
    now: "M48 50h46M92 50V42",
  },
  "free space": {
    ...plan,
    thick: "M66 22v20M90 8v48",
    now: "M66 32h24M66 28v8M90 28v8",
  },
};

/** A kind of check as a small picture; its word always stands beside it. */
export function CheckPicture({ kind }: { readonly kind: CheckKind }): ReactNode {
  const { phantom, thick, centre, now } = pictures[kind];
  return (
    <svg className="check-picture" viewBox="0 0 96 64" aria-hidden="true" focusable="false">
      {phantom ? <path className="phantom" d={phantom} /> : null}
      {centre ? <path className="centre" d={centre} /> : null}
      {thick ? <path className="visible" d={thick} /> : null}
      <path className="asked" d={now} />
    </svg>
  );
}
