import { expect, test } from "vitest";
import type { Adjusted } from "../../../src/adjust/adjust.ts";
import { unclearMajorities } from "../../../src/job/solve/outvoted.ts";

/** Photos with the weights of their boards. */
const adjusted = (photos: Readonly<Record<string, Readonly<Record<string, number>>>>): Adjusted => {
  const seen = Object.entries(photos).flatMap(([photo, boards]) =>
    Object.entries(boards).map(([board, weight]) => ({ photo, board, weight })),
  );
  const views = seen.map(({ photo, board }) => ({ observation: { photo, board } }));
  const weights = Float64Array.from(seen, ({ weight }) => weight);
  return { internals: { model: { views }, weights } } as unknown as Adjusted;
};

const named = (
  photos: Parameters<typeof adjusted>[0],
  twice: readonly string[] = [],
): Record<string, unknown> =>
  Object.fromEntries(
    unclearMajorities(
      { twice: twice.map((board) => ({ board, apartMm: 500, photos: [] })) },
      adjusted(photos),
    ).map(({ values }) => [values?.photo, values?.boards]),
  );

const good = { b: { 1: 1, 11: 1, 12: 1 }, c: { 1: 1, 11: 1, 12: 1 }, d: { 1: 1, 11: 1, 12: 1 } };

test("one view against two of its photo is outvoted; one against one is not", () => {
  expect(named({ a: { 1: 0.001, 11: 1, 12: 1 }, ...good })).toEqual({});
  expect(named({ a: { 1: 0.001, 11: 1 }, ...good })).toEqual({ a: ["1"] });
  expect(named({ a: { 1: 1, 11: 0.001, 12: 0.001, 14: 1 }, ...good })).toEqual({ a: ["11", "12"] });
  // A view that only counts less contradicts nothing.
  expect(named({ a: { 1: 0.4, 11: 1 }, ...good })).toEqual({});
});

test("a board that fits nowhere, or lies in two places, is named for itself, not for its photos", () => {
  const odd = { 14: 0.001, 15: 1 };
  expect(named({ x: odd, y: odd, z: odd, ...good })).toEqual({});
  expect(named({ a: { 1: 0.001, 11: 1 }, ...good }, ["1"])).toEqual({});
});
