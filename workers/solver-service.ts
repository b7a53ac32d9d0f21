import { guideCamera, learnCamera } from "../src/job/learn-camera.ts";
import { solveJob } from "../src/job/solve.ts";
import type { SolverApi } from "./solver-api.ts";
import { onTimeline } from "./timeline.ts";

/** The solver worker's work, the same in the browser and in Node. */
export const solverService: SolverApi = {
  calibrate: async (outcomes, date) => learnCamera(outcomes, date),
  guide: async (outcomes) => guideCamera(outcomes),
  solve: async (input) => solveJob(input),
};
