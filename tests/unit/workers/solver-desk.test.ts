import { describe, expect, test } from "vitest";
import type { SolverHandle } from "../../../workers/shared/solver.ts";
import type { SolverApi } from "../../../workers/shared/solver-api.ts";
import { SolverDesk } from "../../../workers/shared/solver-desk.ts";

/** Workers that answer with their number when they are let. */
const fakeWorkers = () => {
  const log = { started: 0, ended: [] as number[] };
  const held: (() => void)[] = [];
  const spawn = (): SolverHandle => {
    const number = ++log.started;
    const answer = () => new Promise<number>((resolve) => held.push(() => resolve(number)));
    return {
      api: { solve: answer, plan: answer } as unknown as SolverApi,
      died: new Promise(() => undefined),
      terminate: () => log.ended.push(number),
    };
  };
  return { log, spawn, let: () => held.shift()?.() };
};
const pause = (ms: number): Promise<void> => new Promise((resolve) => setTimeout(resolve, ms));
const never = Number.POSITIVE_INFINITY;
const solve = (api: SolverApi) => api.solve({} as never) as unknown as Promise<number>;
const plan = (api: SolverApi) => api.plan({} as never) as unknown as Promise<number>;

describe("solver and planner", () => {
  test("a plan after the verdict is made by the worker that is there, which stays", async () => {
    const workers = fakeWorkers();
    const desk = new SolverDesk(workers.spawn, { solverMs: never, plannerMs: 1 });
    const verdict = desk.ask(solve);
    workers.let();
    expect(await verdict).toBe(1);
    const planned = desk.plan(plan);
    workers.let();
    expect(await planned).toBe(1);
    await pause(20);
    const again = desk.ask(solve);
    workers.let();
    expect(await again).toBe(1);
    expect(workers.log).toEqual({ started: 1, ended: [] });
  });

  test("no verdict waits for a plan: it gets a new worker, and the planner's is ended", async () => {
    const workers = fakeWorkers();
    const desk = new SolverDesk(workers.spawn, { solverMs: never, plannerMs: 1 });
    desk.start();
    const planned = desk.plan(plan);
    const verdict = desk.ask(solve);
    workers.let();
    expect(await planned).toBe(1);
    workers.let();
    expect(await verdict).toBe(2);
    await pause(20);
    expect(workers.log).toEqual({ started: 2, ended: [1] });
  });

  test("no plan waits for a verdict", async () => {
    const workers = fakeWorkers();
    const desk = new SolverDesk(workers.spawn, { solverMs: never, plannerMs: 1 });
    const verdict = desk.ask(solve);
    const planned = desk.plan(plan);
    workers.let();
    workers.let();
    expect(await Promise.all([verdict, planned])).toEqual([1, 2]);
    await pause(20);
    expect(workers.log).toEqual({ started: 2, ended: [2] });
  });

  test("a solver at rest ends after its own time, also when it has planned", async () => {
    const workers = fakeWorkers();
    const desk = new SolverDesk(workers.spawn, { solverMs: 60, plannerMs: 1 });
    const planned = desk.plan(plan);
    workers.let();
    await planned;
    await pause(20);
    expect(workers.log.ended).toEqual([]);
    await pause(100);
    expect(workers.log.ended).toEqual([1]);
  });
});
