import type { ListedJob } from "../store/listings.ts";
import type { JobState } from "./job-state.ts";

/** What those who work for an open job (measuring, photos, advice) may ask of it. */
export interface RunnerHost {
  state(): JobState;
  patch(change: Partial<JobState>): void;
  /** Runs a write; false where it was refused, which is then shown. */
  guard(write: () => Promise<void>): Promise<boolean>;
  /** What the list of jobs is to say of the job in this state. */
  listing(state: JobState): ListedJob;
  /** True while chosen files are still being stored: what needs all photos waits for them. */
  adding(): boolean;
}
