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
  moved.map(({ body, boards: [{ shiftMm, turnDeg }], lastBefore, firstAfter }) => ({
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
  }));
