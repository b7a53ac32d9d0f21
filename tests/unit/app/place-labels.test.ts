/** Words on drawings: none on another, none outside, as long as there is room. */
import fc from "fast-check";
import { describe, expect, test } from "vitest";
import {
  type Box,
  boxOf,
  placeLabels,
  sharedArea,
  spotsAround,
} from "../../../src/app/drawing/bay/place-labels.ts";

const paper = { left: 0, top: 0, right: 800, bottom: 600 };

/** Squares of a coarse grid: whatever is drawn from it leaves room for words. */
const squares = fc
  .uniqueArray(fc.integer({ min: 0, max: 5 * 5 - 1 }), { minLength: 3, maxLength: 15 })
  .map((cells) =>
    cells.map((cell): Box => {
      const left = 60 + (cell % 5) * 140;
      const top = 60 + Math.floor(cell / 5) * 110;
      return { left, top, right: left + 16, bottom: top + 16 };
    }),
  );

const wishesFor = (boxes: readonly Box[]) =>
  boxes.map((box, index) => ({
    key: String(index),
    text: String(index + 11),
    fontPx: 13,
    spots: spotsAround(box, 13, 4),
  }));

describe("placing labels", () => {
  test("with room for all, no label lies on another, on a square or outside", () => {
    fc.assert(
      fc.property(squares, (boxes) => {
        const placed = placeLabels(wishesFor(boxes), boxes, paper);
        expect(placed.length).toBe(boxes.length);
        const texts = placed.map((label) => boxOf(label.text, label.fontPx, label));
        for (const [index, box] of texts.entries()) {
          const others = [...boxes, ...texts.filter((_, at) => at !== index)];
          expect(others.reduce((sum, other) => sum + sharedArea(box, other), 0)).toBe(0);
          expect(box.left).toBeGreaterThanOrEqual(paper.left);
          expect(box.right).toBeLessThanOrEqual(paper.right);
          expect(box.top).toBeGreaterThanOrEqual(paper.top);
          expect(box.bottom).toBeLessThanOrEqual(paper.bottom);
        }
      }),
    );
  });

  test("a taken first spot leads to the next; at the edge the word stays on the paper", () => {
    const box = { left: 100, top: 100, right: 116, bottom: 116 };
    const wish = { key: "a", text: "12", fontPx: 13, spots: spotsAround(box, 13, 4) };
    expect(placeLabels([wish], [box], paper)[0].anchor).toBe("start");
    const neighbour = { left: 118, top: 100, right: 140, bottom: 116 };
    expect(placeLabels([wish], [box, neighbour], paper)[0].anchor).toBe("end");
    const edge = { left: 780, top: 100, right: 796, bottom: 116 };
    const atEdge = { ...wish, spots: spotsAround(edge, 13, 4) };
    expect(placeLabels([atEdge], [edge], paper)[0].anchor).toBe("end");
  });
});
