import type { Adjusted } from "../../adjust/adjust.ts";
import { motionSize } from "../../adjust/problem/motion.ts";
import type { NetworkProblem } from "../../adjust/problem/problem.ts";
import { degrees, norm } from "../../maths/pose.ts";
import type { Evaluation } from "../../placement/assemble.ts";
import type { Remark } from "../result/remark-codes.ts";

/** Read-out of a phone sensor, s; 0.01 to 0.03 for phones of the last years. See motion-spread.ts. */
const usualReadoutS = 0.02;
/** Share of a check's variance from which a steadier hand would be noticed. */
const noticedShare = 0.2;

/** Turn of the hand from the first to the last row, degrees, by photo. */
export const handTurns = ({ internals }: Adjusted): ReadonlyMap<string, number> => {
  const { layout } = internals.model;
  return new Map(
    layout.problem.photos.flatMap(({ key }, i) => {
      if (layout.photoPlaces[i].motion[0] < 0) return [];
      const [x, y, z] = internals.state.photoMotion.subarray(motionSize * i);
      return [[key, degrees(norm([x, y, z]))] as const];
    }),
  );
};

/** What the hand did, whether a steadier one would have helped, and photos taken on the move. */
export const handRemarks = (
  adjusted: Adjusted,
  problem: NetworkProblem,
  { checks }: Evaluation,
): Remark[] => {
  const turns = handTurns(adjusted);
  if (turns.size === 0 || checks.length === 0) return [];
  const shares = checks.map((check) => ({
    check,
    share: check.budget.find(({ source }) => source === "hand motion")?.share ?? 0,
  }));
  const worst = shares.reduce((a, b) => (b.share > a.share ? b : a));
  const moving = problem.photos.filter(({ motionScale = 1 }) => motionScale > 1);
  return [
    steadiness(rateOf([...turns.values()]), worst.share, worst.check),
    ...moving.map(({ key }) => onTheMove(key, turns.get(key) ?? 0)),
  ];
};

/** Degrees a second, root mean square over the photos. */
const rateOf = (turns: readonly number[]): number =>
  Math.sqrt(turns.reduce((sum, turn) => sum + turn ** 2, 0) / turns.length) / usualReadoutS;

const steadiness = (
  rate: number,
  share: number,
  { label, quantity }: Evaluation["checks"][number],
): Remark => {
  const gain = 1 - Math.sqrt(Math.max(0, 1 - share));
  const helps = share >= noticedShare;
  return {
    code: "hand-turned",
    values: { rate, helps: helps ? "yes" : "no", gain, check: quantity },
    severity: "info",
    message:
      `While photos were read, the hand turned about ${rate.toFixed(1)} degrees a second; this was ` +
      `measured along and taken out. A steadier hand would ${
        helps
          ? `have made "${label}" surer by ${Math.round(100 * gain)} %.`
          : "hardly have made anything surer."
      }`,
    remedy: "Hold the phone with both hands, lean on something, and tap lightly.",
  };
};

const onTheMove = (photo: string, turn: number): Remark => ({
  code: "photo-on-the-move",
  values: { photo, turn },
  severity: "info",
  message: `${photo} was taken on the move: the phone turned by ${turn.toFixed(2)} degrees while it was read, far more than in the other photos. It counts for less.`,
  remedy: "Stand still while the photo is taken; nothing is lost if there are other photos.",
  about: photo,
});
