import type { Said } from "../say/remark.ts";
import { lengthSdMm } from "./length-worth.ts";
import type { LengthWorth, PhotoPlan, Shot } from "./plan-types.ts";

/** Sentences of a plan; a language has each of them. */
export type PlanCode =
  | "plan-shot"
  | "plan-floor-board"
  | "plan-length"
  | "plan-slip"
  | "plan-enough"
  | "plan-out-of-reach";

/** A sentence as data with its English text. */
export interface Sentence {
  readonly said: Said<PlanCode>;
  readonly text: string;
}

/** Ways are said to so many mm; shorter ones than this are not worth words. */
const stepMm = 100;
const nothingMm = 150;

/** A signed way as size and direction; "none" where it is nothing. */
const way = (mm: number, positive: string, negative: string): [number, string] => [
  stepMm * Math.round(Math.abs(mm) / stepMm),
  Math.abs(mm) < nothingMm ? "none" : mm > 0 ? positive : negative,
];

const postureWords = {
  kneeling: "Kneel",
  "at the chest": "Stand, phone at the chest,",
  "arms up": "Stand, phone held up high,",
} as const;

/** Where to take a photo and what must be in it. */
export const shotSentence = (shot: Shot): Sentence => {
  const [ahead, aheadWay] = way(shot.aheadMm, "ahead", "behind");
  const [aside, asideWay] = way(shot.leftMm, "left", "right");
  const places = [
    ...(asideWay === "none" ? [] : [`${aside} mm ${asideWay}`]),
    ...(aheadWay === "none" ? [] : [`${ahead} mm ${aheadWay}`]),
  ];
  const place =
    places.length === 0 ? "at" : `${places.join(" and ")}${aheadWay === "behind" ? "" : " of"}`;
  const height = shot.heightMm;
  return {
    said: {
      code: "plan-shot",
      values: {
        posture: shot.posture,
        ahead,
        aheadWay,
        aside,
        asideWay,
        both: aheadWay !== "none" && asideWay !== "none" ? "yes" : "no",
        some: places.length > 0 ? "yes" : "no",
        near: shot.near,
        height,
        held: shot.upright ? "upright" : "level",
        boards: shot.boards,
      },
    },
    text:
      `${postureWords[shot.posture]} ${place} the ${shot.near}, lens ${height} mm high, phone ` +
      `${shot.upright ? "upright" : "on its side, level"}; in the picture: boards ${listed(shot.boards)}.`,
  };
};

const listed = (ids: readonly number[]): string =>
  ids.length < 2 ? ids.join("") : `${ids.slice(0, -1).join(", ")} and ${ids.at(-1)}`;

/** Where to lay a floor board: from the front axle ahead, from the middle of the car aside. */
export const floorBoardSentence = (board: number, x: number, y: number): Sentence => {
  const [ahead, aheadWay] = way(x, "ahead", "behind");
  const [aside, asideWay] = way(y, "left", "right");
  const along =
    aheadWay === "none"
      ? "level with the front axle"
      : `${ahead} mm ${aheadWay === "ahead" ? "ahead of" : "behind"} the front axle`;
  const across =
    asideWay === "none" ? "on the centreline" : `${aside} mm ${asideWay} of the centreline`;
  return {
    said: { code: "plan-floor-board", values: { board, ahead, aheadWay, aside, asideWay } },
    text: `Board ${board}: ${along}, ${across}.`,
  };
};

/** What measuring one length would bring. */
export const lengthSentence = (worth: LengthWorth, label: string): Sentence => ({
  said: {
    code: "plan-length",
    values: {
      from: worth.from,
      to: worth.to,
      check: label,
      sd: lengthSdMm,
      without: worth.without,
      with: worth.with,
      unit: worth.unit,
    },
  },
  text:
    `Measuring from board ${worth.from} to board ${worth.to} to ${lengthSdMm} mm would make "${label}" surer: ` +
    `± ${shown(worth.with, worth.unit)} instead of ± ${shown(worth.without, worth.unit)}.`,
});

/** A number as it is said: a tenth of a millimetre, a hundredth of a degree. */
export const shown = (value: number, unit: "mm" | "deg"): string =>
  unit === "mm" ? `${value.toFixed(1)} mm` : `${value.toFixed(2)}°`;

export const slipSentence = (slip: number): Sentence => ({
  said: { code: "plan-slip", values: { slip } },
  text: `A board that slips by ${slip.toFixed(0)} mm between two of these photos is sure to be noticed.`,
});

/** Why the plan ends, where it does. */
export const endSentence = (plan: PhotoPlan): Sentence | null => {
  if (!plan.enough) return null;
  const far = plan.checks.filter(({ outOfReach }) => outOfReach);
  if (far.length === 0)
    return {
      said: { code: "plan-enough" },
      text: "The photos prove what the sheet asks: no more are needed.",
    };
  return {
    said: {
      code: "plan-out-of-reach",
      values: { checks: far.map(({ label }) => label), source: far[0].mostly },
    },
    text:
      `More photos would not make ${far.map(({ label }) => `"${label}"`).join(", ")} sure enough: what ` +
      `is in the way is mostly ${far[0].mostly}.`,
  };
};
