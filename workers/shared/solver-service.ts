import { accept } from "../../src/acceptance/acceptance.ts";
import { guideCamera, learnCamera } from "../../src/job/run/learn-camera.ts";
import type { CameraAnswer } from "../../src/job/run/run.ts";
import { solveJob } from "../../src/job/solve/solve.ts";
import { teachFromPhotos } from "../../src/job/teach/teach-target.ts";
import { planPhotos } from "../../src/plan/plan.ts";
import { messagesFirst } from "./messages-first.ts";
import type { SolverApi } from "./solver-api.ts";
import { onTimeline } from "./timeline.ts";
import { inventedBay } from "./warm-up-bay.ts";
import { inventedSheetPhotos } from "./warm-up-pictures.ts";

/** The solver worker's work, the same in the browser and in Node. */
export const solverService = (): SolverApi => {
  let asked = false;
  const answer = <T>(name: string, work: () => T): Promise<T> => {
    asked = true;
    return onTimeline(name, work);
  };
  return {
    warmUp: async () => {
      for (const practise of practices()) {
        await messagesFirst();
        if (asked) return;
        await onTimeline("solver warm-up", practise);
      }
    },
    calibrate: (outcomes, date) => answer("camera", () => learnCamera(outcomes, date)),
    guide: (outcomes) => answer("guidance", () => guideCamera(outcomes)),
    solve: (input) => answer("solve", () => solveJob(input)),
    accept: (input) => answer("accept", () => accept(input)),
    plan: (input) => answer("plan", () => planPhotos(input)),
    teach: ({ teach, camera, outcomes, date }) =>
      answer("teach", () => teachFromPhotos(teach, camera, outcomes, date)),
  };
};

/**
 * A camera step of some 0.1 s and a job of some 0.4 s; the adjustment of a job then runs at full speed
 * from its first step. More of them made it no faster and left 10 MB more behind.
 */
function practices(): (() => void)[] {
  let camera: CameraAnswer | null = null;
  const learn = (): void => {
    camera = learnCamera(inventedSheetPhotos(), "");
  };
  const solve = (): void => {
    if (camera?.ok) solveJob(inventedBay(camera.camera));
  };
  return [learn, solve];
}
