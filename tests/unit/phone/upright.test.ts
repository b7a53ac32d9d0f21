import { expect, test } from "vitest";
import { judge } from "../../bench/phone/judge.ts";
import { tracedViews } from "../../bench/phone/traced.ts";
import { drawBay, withStandMoved } from "../../tools/phone/bay.ts";
import { Chance, type V3 } from "../../tools/phone/maths.ts";
import { drawPhone } from "../../tools/phone/phone.ts";
import type { Session } from "../../tools/phone/session.ts";
import { bayShots, type Phone, sheetShots, shotsAfter } from "../../tools/phone/shots.ts";

/** A phone whose sensor stands upright: its short lines follow each other down the upright picture. */
const upright = (phone: Phone): Phone => {
  const { width, height, centre } = phone.lens;
  const [x, y] = centre;
  return { ...phone, lens: { ...phone.lens, width: height, height: width, centre: [y, x] } };
};

const uprightSession = (seed: number): Session => {
  const bay = drawBay(new Chance(seed, 1));
  const phone = upright(drawPhone(new Chance(seed, 2), {}));
  const bump: V3 = [2, 0, 0];
  const bayAfter = withStandMoved(bay, bump);
  return {
    ...{ seed, bay, bayAfter, bump, phone },
    sheet: sheetShots(phone, 12, new Chance(seed, 4)),
    secondSheet: [],
    photos: bayShots(bay, phone, new Chance(seed, 5)),
    after: shotsAfter(bayAfter, phone, new Chance(seed, 6)),
  };
};

// The program takes an upright picture for one that was turned and read along x. This one was not.
test("photos read in the other direction than supposed: checks hold, nothing is blamed", () => {
  const session = uprightSession(1);
  const { refused, checks, falseRemarks, falseMoved, bumpFound } = judge(
    session,
    tracedViews(session),
    false,
  );
  expect(refused).toBeNull();
  for (const { error, expanded } of Object.values(checks))
    expect(Math.abs(error)).toBeLessThan(expanded);
  expect(Math.abs(checks.ahead.error)).toBeLessThan(0.5);
  expect(falseRemarks).toEqual([]);
  expect(falseMoved).toEqual([]);
  expect(bumpFound).toBe(true);
});
