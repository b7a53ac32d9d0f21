import { storedVerdict } from "../state/listed-verdict.ts";
import { readJob, type UnreadableJob } from "../store/jobs.ts";
import { addListing, type ListedJob, listedJob, storedListings } from "../store/listings.ts";

export interface JobList {
  /** The latest change first. */
  readonly jobs: readonly ListedJob[];
  /** Jobs that could not be read: shown with their reason, never dropped silently. */
  readonly unreadable: readonly UnreadableJob[];
}

/**
 * All jobs as the list shows them. A job that has no entry yet (an earlier program stored it) is
 * read once and gets one.
 */
export async function listJobs(engineVersion: string): Promise<JobList> {
  const { ids, listed } = await storedListings();
  const jobs: ListedJob[] = [];
  const unreadable: UnreadableJob[] = [];
  for (const id of ids) {
    const known = listed.get(id);
    if (known) {
      jobs.push(ofThisProgram(known, engineVersion));
      continue;
    }
    const outcome = await readJob(id);
    if (outcome?.ok) {
      const listing = listedJob(outcome.record, await storedVerdict(outcome.record, engineVersion));
      await addListing(listing);
      jobs.push(listing);
    } else if (outcome) {
      unreadable.push({ id, reason: outcome.reason, detail: outcome.detail });
    }
  }
  jobs.sort((a, b) => b.updatedAt.localeCompare(a.updatedAt));
  return { jobs, unreadable };
}

/** A verdict of another program would not come out the same for certain. */
const ofThisProgram = (job: ListedJob, engineVersion: string): ListedJob =>
  job.engine === engineVersion || job.verdict === "not measured"
    ? job
    : { ...job, verdict: "to be measured again" };
