import { describe, expect, test } from "vitest";
import { Solver, type SolverHandle } from "../../../workers/shared/solver.ts";
import type { SolverApi } from "../../../workers/shared/solver-api.ts";

/** Workers that answer when they are told to, and never after they were ended. */
const workersByHand = () => {
  const started: { answers: (() => void)[]; ended: boolean }[] = [];
  const spawn = (): SolverHandle => {
    const worker = { answers: [] as (() => void)[], ended: false };
    started.push(worker);
    const warmUp = () => new Promise<void>((resolve) => worker.answers.push(resolve));
    return {
      api: { warmUp } as unknown as SolverApi,
      died: new Promise(() => undefined),
      terminate: () => {
        worker.ended = true;
      },
    };
  };
  return { started, spawn };
};

const ask = (solver: Solver, signal?: AbortSignal) => solver.ask((api) => api.warmUp(), signal);

describe("a question to the solver", () => {
  test("that waits when the solver is closed gets the reason", async () => {
    const { started, spawn } = workersByHand();
    const solver = new Solver(spawn);
    const answer = ask(solver);
    solver.close();
    await expect(answer).rejects.toThrow("The solver is closed.");
    expect(started[0].ended).toBe(true);
  });

  test("that is cancelled ends the worker over it, and the others are asked again", async () => {
    const { started, spawn } = workersByHand();
    const solver = new Solver(spawn);
    const cancel = new AbortController();
    const long = ask(solver, cancel.signal);
    const other = ask(solver);
    cancel.abort(new Error("The user stopped it."));
    await expect(long).rejects.toThrow("The user stopped it.");
    expect(started.map(({ ended }) => ended)).toEqual([true, false]);
    expect(started[1].answers).toHaveLength(1);
    started[1].answers[0]();
    await expect(other).resolves.toBeUndefined();
    // Nothing hangs on the signal any more.
    cancel.abort();
    expect(started).toHaveLength(2);
  });

  test("that is cancelled before it is asked starts no worker", async () => {
    const { started, spawn } = workersByHand();
    const answer = ask(new Solver(spawn), AbortSignal.abort(new Error("too late")));
    await expect(answer).rejects.toThrow("too late");
    expect(started).toHaveLength(0);
  });

  test("that is the last for a while lets the worker go; the next one starts another", async () => {
    const { started, spawn } = workersByHand();
    const solver = new Solver(spawn, 20);
    solver.start();
    const first = ask(solver);
    await new Promise((resolve) => setTimeout(resolve, 60));
    expect(started[0].ended).toBe(false);
    started[0].answers[0]();
    await first;
    const second = ask(solver);
    await new Promise((resolve) => setTimeout(resolve, 60));
    expect(started.map(({ ended }) => ended)).toEqual([false]);
    started[0].answers[1]();
    await second;
    await new Promise((resolve) => setTimeout(resolve, 60));
    expect(started.map(({ ended }) => ended)).toEqual([true]);
    const third = ask(solver);
    started[1].answers[0]();
    await expect(third).resolves.toBeUndefined();
    solver.close();
  });

  test("whose worker cannot be started gets the reason", async () => {
    const solver = new Solver(() => {
      throw new Error("no more threads");
    });
    await expect(ask(solver)).rejects.toThrow("no more threads");
  });
});
