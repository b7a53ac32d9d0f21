/** A further car position that says nothing is named; nothing looks as if it had counted. */
import { describe, expect, test } from "vitest";
import { placementPieces } from "../../../src/placement/assemble.ts";
import type { PlacementSetup } from "../../../src/placement/checks/checks.ts";
import { keepPresent, lostPositions } from "../../../src/placement/checks/keep-present.ts";
import type { FloorSetup, VehicleSetup } from "../../../src/vehicle/setup.ts";

const plate = (board: string) => ({ plate: { board, standOffMm: 60 } });
const wheelHeights: FloorSetup = {
  kind: "wheels",
  centreHeightMm: { "front left": 310, "front right": 310, "rear left": 310, "rear right": 310 },
};
const floorBoards: FloorSetup = {
  kind: "boards",
  boards: ["11", "12", "13"].map((board) => ({ board, heightMm: 3 })),
};

/** Plates on the front wheels, dropped points at the rear ones, unless `change` says otherwise. */
const setup = (kind: "rolled" | "turned", change: Partial<VehicleSetup> = {}): PlacementSetup => ({
  vehicle: {
    wheels: {
      "front left": plate("1"),
      "front right": plate("2"),
      "rear left": { plumbPoint: "rear left" },
      "rear right": { plumbPoint: "rear right" },
    },
    points: [
      { name: "rear left", board: "21" },
      { name: "rear right", board: "22" },
    ],
    positions: [{ key: "B", kind }],
    floor: wheelHeights,
    ...change,
  },
  targets: [],
});
const rear = { "rear left": plate("3"), "rear right": plate("4") };
const all = () => true;
const lacks = (one: PlacementSetup, present: (board: string) => boolean = all) =>
  lostPositions(one, present).map(({ code, values }) => [code, values?.position, values?.lack]);
const chains = (one: PlacementSetup, present: (board: string) => boolean = all) =>
  placementPieces(one, { present }).chains.filter(({ key }) => key.includes("@B")).length;

describe("a second car position", () => {
  test("without floor boards and rear plates is named as not counting", () => {
    const rolled = setup("rolled");
    expect(chains(rolled)).toBe(0);
    expect(lacks(rolled)).toEqual([["position-not-used", "B", "floor"]]);
    const [remark] = lostPositions(rolled, all);
    expect(remark.message).toContain('"B" does not count');
    expect(remark.remedy).toContain("floor boards");
    expect(keepPresent(rolled, all).vehicle.positions).toEqual([]);
  });

  test("with turned wheels needs a rear plate, floor boards or not", () => {
    expect(lacks(setup("turned", { floor: floorBoards }))).toEqual([
      ["position-not-used", "B", "rear plates"],
    ]);
  });

  test("counts with floor boards or with rear plates, and is not named then", () => {
    const { wheels } = setup("rolled").vehicle;
    for (const one of [
      setup("rolled", { floor: floorBoards }),
      setup("rolled", { wheels: { ...wheels, ...rear } }),
      setup("turned", { wheels: { ...wheels, ...rear } }),
    ]) {
      expect(lacks(one)).toEqual([]);
      expect(chains(one)).toBeGreaterThan(1);
    }
  });

  test("that shows fewer than two wheel plates is named with their number", () => {
    const one = setup("rolled", { floor: floorBoards });
    for (const [seen, count] of [
      [["1@B"], 1],
      [[], 0],
    ] as const) {
      const present = (board: string) => !board.includes("@") || seen.includes(board as never);
      expect(chains(one, present)).toBe(0);
      expect(lacks(one, present)).toEqual([["position-not-used", "B", "plates"]]);
      expect(lostPositions(one, present)[0].values?.count).toBe(count);
    }
  });
});
