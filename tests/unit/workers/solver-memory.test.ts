import { expect, test } from "vitest";
import { SolverMemory } from "../../../workers/shared/solver-memory.ts";

/** What the desk was told, and a queue that the test sets. */
function fake() {
  const told: string[] = [];
  const pool = { waiting: 0, underWay: 0 };
  const desk = {
    restNow: () => void told.push("rest"),
    ask: () => {
      told.push("practise");
      return Promise.resolve() as never;
    },
  };
  return { told, pool, memory: new SolverMemory(desk, pool) };
}

test("after the camera step the solver is ended for many photos, and practises before their end", () => {
  const { told, pool, memory } = fake();
  memory.asked();
  for (const waiting of [0, 0, 1, 2, 2]) {
    pool.waiting = waiting;
    memory.photoCame();
  }
  expect(told).toEqual(["rest"]);
  pool.underWay = 2;
  for (const waiting of [2, 1, 0, 0]) {
    pool.waiting = waiting;
    memory.photoDone();
  }
  expect(told).toEqual(["rest", "practise"]);
});

test("a few photos leave a warm solver alone", () => {
  const { told, pool, memory } = fake();
  memory.asked();
  pool.waiting = 1;
  memory.photoCame();
  pool.waiting = 0;
  memory.photoDone();
  expect(told).toEqual([]);
});

test("a solver that has only practised stays", () => {
  const { told, pool, memory } = fake();
  pool.waiting = 5;
  memory.photoCame();
  expect(told).toEqual([]);
});
