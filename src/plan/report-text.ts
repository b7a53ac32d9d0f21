import type { PhotoPlan } from "./plan-types.ts";
import {
  endSentence,
  floorBoardSentence,
  lengthSentence,
  shotSentence,
  shown,
  slipSentence,
} from "./words.ts";

/** A plan in English lines, for the command line. */
export const planText = (plan: PhotoPlan): string =>
  [...headLines(plan), ...photoLines(plan), ...checkLines(plan), ...adviceLines(plan)].join("\n");

const headLines = ({ basis, taken, shots, enough }: PhotoPlan): string[] => [
  taken === 0
    ? `Plan from rough dimensions: ${shots.length} photos.`
    : `${taken} photos so far (${basis === "measured" ? "measured" : "not enough to measure yet"}); ` +
      (enough
        ? "nothing more to photograph."
        : `${shots.length} more to take, the most useful first.`),
  "",
];

const photoLines = (plan: PhotoPlan): string[] => {
  const end = endSentence(plan);
  return [
    ...plan.shots.map((shot) => `${String(shot.number).padStart(3)}. ${shotSentence(shot).text}`),
    ...(end ? [end.text] : []),
    "",
  ];
};

const checkLines = ({ checks }: PhotoPlan): string[] => [
  `${"check".padEnd(44)}${"asked".padStart(10)}${"now".padStart(10)}${"planned".padStart(10)}${"best".padStart(10)}`,
  ...checks.map(({ label, unit, asked, now, planned, best, outOfReach, mostly }) => {
    const cell = (value: number | null) => (value === null ? "-" : shown(value, unit)).padStart(10);
    const why = outOfReach ? `  out of reach: ${mostly}` : "";
    return `${label.slice(0, 43).padEnd(44)}${cell(asked)}${cell(now)}${cell(planned)}${cell(best)}${why}`;
  }),
  "",
];

const adviceLines = (plan: PhotoPlan): string[] => {
  const floor = plan.bay.boards.filter(({ key }) => Number(key) >= 11 && Number(key) <= 29);
  const worth = plan.length;
  const label = worth && plan.checks.find(({ id }) => id === worth.check)?.label;
  return [
    ...(plan.taken === 0
      ? [
          "Floor boards, roughly:",
          ...floor.map(
            ({ key, pose }) => `  ${floorBoardSentence(Number(key), pose.t[0], pose.t[1]).text}`,
          ),
        ]
      : [
          `Boards seen: ${plan.boards.map(({ key, seen }) => `${key} ${seenWords(seen)}`).join(", ")}.`,
        ]),
    ...(worth && label ? [lengthSentence(worth, label).text] : []),
    ...(plan.slipMm === null ? [] : [slipSentence(plan.slipMm).text]),
    "Predictions, 95 %; the measurement itself decides.",
  ];
};

const seenWords = (seen: number): string =>
  seen === 0 ? "not yet" : seen === 1 ? "once" : `${seen} times`;

/** One line for the end of a measurement that proves too little; null where photos are not what lacks. */
export const nextPhotoText = (plan: PhotoPlan): string | null => {
  const [next] = plan.shots;
  if (!next) return null;
  const { gain } = plan;
  const check = gain && plan.checks.find(({ id }) => id === gain.check);
  const brings =
    gain && check && gain.from !== null
      ? ` It would bring "${check.label}" from ± ${shown(gain.from, check.unit)} to ± ${shown(gain.to, check.unit)}.`
      : "";
  return `Next photo: ${shotSentence(next).text}${brings}`;
};
