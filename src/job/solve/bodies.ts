import { photosShow } from "../../adjust/problem/names.ts";
import type { Body, MovedBody } from "../../adjust/test/moved-bodies.ts";
import type { JobBoard } from "../file/job-boards.ts";
import { wheelBoardIds } from "../file/job-boards.ts";
import type { JobFile } from "../file/job-file.ts";
import type { Remark } from "../result/remark-codes.ts";

/**
 * What carries several boards and moves with all of them: the car in each of its positions, the stand
 * in each of its set-ups.
 */
export const bodiesOf = (job: JobFile, boards: ReadonlyMap<string, JobBoard>): Body[] => {
  const bodies = new Map<string, { name: string; boards: string[] }>();
  for (const [key, { id, role }] of boards) {
    const name = wheelBoardIds(job).includes(id) ? "car" : role === "stand" ? "stand" : null;
    if (name === null) continue;
    const which = `${name} ${key.replace(/^\d+/, "")}`;
    const body = bodies.get(which) ?? { name, boards: [] };
    body.boards.push(key);
    bodies.set(which, body);
  }
  return [...bodies.values()];
};

/**
 * Car or stand moved between two photos. The later place is used; who moved it, and whether it stands
 * still now, nobody knows.
 */
export const movedBodies = (moved: readonly MovedBody[]): Remark[] =>
  moved.map((one) =>
    one.boards[0].shiftMm < placedAgainMm ? slippedRemark(one) : placedAgain(one),
  );

/** Nobody bumps car or stand so far: it was rolled or set up anew. Our own, no source. */
const placedAgainMm = 200;

const slippedRemark = ({
  body,
  boards: [{ shiftMm, turnDeg }],
  lastBefore,
  firstAfter,
}: MovedBody): Remark => ({
  code: "body-moved",
  values: { body, shift: shiftMm, turn: turnDeg, before: lastBefore, after: firstAfter },
  severity: "error",
  message:
    `The ${body} moved by ${shiftMm.toFixed(1)} mm and ${turnDeg.toFixed(2)} degrees between ` +
    `photo ${lastBefore} and photo ${firstAfter}.`,
  remedy:
    body === "car"
      ? "Chock the wheels, let nobody get in or lean on the car, and take all photos again."
      : "Fix the stand, keep off it, and take all photos again.",
  about: body,
});

const placedAgain = ({ body, boards: [{ shiftMm }], earlier, firstAfter }: MovedBody): Remark => ({
  code: "body-placed-again",
  values: { body, shift: shiftMm, photos: earlier, count: earlier.length, after: firstAfter },
  severity: "error",
  message:
    `The ${body} stood elsewhere in part of the photos: ${photosShow(earlier)} it ` +
    `${shiftMm.toFixed(0)} mm from where it stands from photo ${firstAfter} on.`,
  remedy:
    body === "car"
      ? "If it was rolled or turned for a second position, say which photos belong to which " +
        "position. If not, chock the wheels and take all photos again."
      : "Take out the photos of the place where it no longer stands, or take all photos again.",
  about: body,
});
