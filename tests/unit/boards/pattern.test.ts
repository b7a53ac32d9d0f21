import { describe, expect, test } from "vitest";
import {
  blackRuns,
  boardCells,
  boardOutline,
  boardPoint,
  cellIsBlack,
  isRingCell,
  ringSaddlePoints,
  ringSaddles,
  tagCellIsBlack,
  tagCount,
  tagOutline,
} from "../../../src/boards/pattern.ts";
import { tag36h11Codes } from "../../../src/boards/tag36h11.ts";

describe("board pattern", () => {
  test("id 1, drawn by hand from the design: ring of checks, white ring, tag", () => {
    // Inner 8 x 8 as OpenCV 4.6 draws DICT_APRILTAG_36h11 id 1 (# black).
    const expected = [
      "#.#.#.#.#.#.#.",
      ".#.#.#.#.#.#.#",
      "#...........#.",
      ".#.########..#",
      "#..#.##.###.#.",
      ".#.#.#..#.#..#",
      "#..####..##.#.",
      ".#.###....#..#",
      "#..#...#.##.#.",
      ".#.##..#..#..#",
      "#..########.#.",
      ".#...........#",
      "#.#.#.#.#.#.#.",
      ".#.#.#.#.#.#.#",
    ];
    const drawn = expected.map((_, row) =>
      Array.from({ length: boardCells }, (_, col) => (cellIsBlack(1, row, col) ? "#" : ".")).join(
        "",
      ),
    );
    expect(drawn).toEqual(expected);
  });

  test("the white ring is white and the margin outside is white", () => {
    let checked = 0;
    for (const id of [0, 1, 58, 586])
      for (let k = 2; k <= 11; k++) {
        for (const [row, col] of [
          [2, k],
          [11, k],
          [k, 2],
          [k, 11],
        ])
          expect(cellIsBlack(id, row, col)).toBe(false);
        expect(cellIsBlack(id, -1, k)).toBe(false);
        expect(cellIsBlack(id, k, 14)).toBe(false);
        checked++;
      }
    expect(checked).toBe(40);
  });

  test("refuses ids outside the family and fractional cells", () => {
    expect(() => cellIsBlack(587, 0, 0)).toThrow(RangeError);
    expect(() => cellIsBlack(-1, 0, 0)).toThrow(RangeError);
    expect(() => cellIsBlack(1.5, 0, 0)).toThrow(RangeError);
    expect(() => cellIsBlack(1, 0.5, 0)).toThrow(RangeError);
    expect(() => tagCellIsBlack(1, 8, 0)).toThrow(RangeError);
  });

  test("the family's codes differ from each other by at least 11 cells in every turn", () => {
    // What the name promises: 36 bits, Hamming distance 11 (Olson 2011). Also catches a wrong digit.
    const codes = Array.from({ length: tagCount }, (_, id) => bits(id));
    const turned = codes.map(turns);
    let least = 36;
    for (let a = 0; a < tagCount; a++)
      for (let b = a; b < tagCount; b++)
        for (const [turn, code] of turned[b].entries())
          if (a !== b || turn > 0) least = Math.min(least, popCount(codes[a] ^ code));
    expect(tag36h11Codes.length).toBe(tagCount * 9);
    expect(least).toBe(11);
  });
});

describe("board points", () => {
  test("frame: x right, y up, origin in the middle", () => {
    expect(boardPoint(0, 0)).toEqual([-7, 7]);
    expect(boardPoint(7, 7)).toEqual([0, 0]);
    expect(boardPoint(14, 14)).toEqual([7, -7]);
    expect([...boardOutline]).toEqual([-7, 7, 7, 7, 7, -7, -7, -7]);
    expect([...tagOutline]).toEqual([-4, 4, 4, 4, 4, -4, -4, -4]);
  });

  test("48 saddles: the crossings 1 and 13, with the colours around them", () => {
    expect(ringSaddles.length).toBe(48);
    for (const { row, col, polarity } of ringSaddles) {
      expect([1, 13].includes(row) || [1, 13].includes(col)).toBe(true);
      const upLeft = cellIsBlack(5, row - 1, col - 1);
      const around = [
        upLeft,
        cellIsBlack(5, row - 1, col),
        cellIsBlack(5, row, col - 1),
        cellIsBlack(5, row, col),
      ];
      expect(around).toEqual([upLeft, !upLeft, !upLeft, upLeft]);
      expect(polarity).toBe(upLeft ? 1 : -1);
    }
    const points = ringSaddlePoints();
    expect(points.length).toBe(96);
    expect([points[0], points[1]]).toEqual([-6, 6]);
    expect([points[94], points[95]]).toEqual([6, -6]);
    expect(new Set(ringSaddles.map((s) => `${s.x} ${s.y}`)).size).toBe(48);
  });

  test("runs cover the black cells and nothing else", () => {
    const covered = new Set(
      blackRuns(31).flatMap(({ row, col, length }) =>
        Array.from({ length }, (_, i) => `${row} ${col + i}`),
      ),
    );
    let black = 0;
    for (let row = 0; row < boardCells; row++)
      for (let col = 0; col < boardCells; col++) {
        expect(covered.has(`${row} ${col}`)).toBe(cellIsBlack(31, row, col));
        if (cellIsBlack(31, row, col)) black++;
      }
    expect(covered.size).toBe(black);
    expect(isRingCell(14, 0)).toBe(false);
  });
});

/** The 36 data cells as one number, white = 1. */
function bits(id: number): bigint {
  let code = 0n;
  for (let row = 1; row < 7; row++)
    for (let col = 1; col < 7; col++) code = code * 2n + (tagCellIsBlack(id, row, col) ? 0n : 1n);
  return code;
}

/** The code and its three turns by a quarter. */
function turns(code: bigint): bigint[] {
  const out = [code];
  for (let k = 0; k < 3; k++) {
    let turned = 0n;
    for (let row = 0; row < 6; row++)
      for (let col = 0; col < 6; col++) {
        const from = BigInt((5 - col) * 6 + row);
        turned = turned * 2n + ((out[k] >> (35n - from)) & 1n);
      }
    out.push(turned);
  }
  return out;
}

const nibbleCount = [0, 1, 1, 2, 1, 2, 2, 3, 1, 2, 2, 3, 2, 3, 3, 4];
function popCount(value: bigint): number {
  let [low, high] = [Number(value & 0x3ffffn), Number(value >> 18n)];
  let count = 0;
  for (; low > 0; low >>= 4) count += nibbleCount[low & 15];
  for (; high > 0; high >>= 4) count += nibbleCount[high & 15];
  return count;
}
