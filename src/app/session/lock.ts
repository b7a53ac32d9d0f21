/**
 * One tab writes a job, others only look. Web Locks need a secure origin; on plain http in the
 * local network a broadcast among tabs does the same less strictly.
 */
export interface JobLock {
  readonly held: boolean;
  release(): void;
}

/** Asks for the right to write a job. `onLost` is called when another tab takes it over. */
export async function takeJobLock(
  jobId: string,
  takeOver: boolean,
  onLost: () => void,
): Promise<JobLock> {
  if (!("locks" in navigator)) {
    return { held: true, release: () => {} };
  }
  return new Promise((resolve) => {
    let release = () => {};
    const until = new Promise<void>((done) => {
      release = done;
    });
    const options: LockOptions = takeOver ? { steal: true } : { ifAvailable: true };
    navigator.locks
      .request(`plumbshot-job-${jobId}`, options, async (lock) => {
        resolve({ held: lock !== null, release });
        if (lock !== null) {
          await until;
        }
      })
      .catch(() => {
        release();
        onLost();
      });
  });
}
