import { describe, expect, test } from "vitest";
import { Solver, type SolverHandle } from "../../../workers/shared/solver.ts";
import type { SolverApi } from "../../../workers/shared/solver-api.ts";

/** Workers that only warm up: the first one dies over it, later ones answer. */
const fakeWorkers = () => {
  const log = { started: 0, terminated: 0 };
  const spawn = (): SolverHandle => {
    const first = log.started++ === 0;
    let die: (reason: string) => void = () => undefined;
    const died = new Promise<string>((resolve) => {
      die = resolve;
    });
    const warmUp = (): Promise<void> => {
      if (!first) return Promise.resolve();
      die("out of memory");
      return new Promise(() => undefined);
    };
    return {
      api: { warmUp } as unknown as SolverApi,
      died,
      terminate: () => {
        log.terminated++;
      },
    };
  };
  return { log, spawn };
};

describe("Solver", () => {
  test("a worker that dies fails its question with the reason; the next one gets another", async () => {
    const { log, spawn } = fakeWorkers();
    const solver = new Solver(spawn);
    await expect(solver.ask((api) => api.warmUp())).rejects.toThrow(
      "The solver stopped: out of memory",
    );
    await solver.ask((api) => api.warmUp());
    await solver.ask((api) => api.warmUp());
    expect(log).toEqual({ started: 2, terminated: 1 });
  });

  test("once closed it answers nothing and starts nothing", async () => {
    const { log, spawn } = fakeWorkers();
    const solver = new Solver(spawn);
    solver.start();
    solver.close();
    await expect(solver.ask((api) => api.warmUp())).rejects.toThrow("closed");
    expect(log).toEqual({ started: 1, terminated: 1 });
  });
});
