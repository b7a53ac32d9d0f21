import { type Result, resultSchema } from "../../job/result/result.ts";
import { database } from "./database/database.ts";
import { saving } from "./database/not-saved.ts";

/** Results of a sheet's steps that were left, as they were at that moment. */
const prefix = (jobId: string): string => `${jobId}/step/`;

export const saveStep = (jobId: string, stepId: string, result: Result): Promise<void> =>
  saving("result", stepId, async () => {
    await (await database()).put("results", result, stepKey(jobId, stepId));
  });

export const stepKey = (jobId: string, stepId: string): string => prefix(jobId) + stepId;

/** Kept results by step id; what cannot be read is left out. */
export async function loadSteps(jobId: string): Promise<ReadonlyMap<string, Result>> {
  const db = await database();
  const start = prefix(jobId);
  const kept = new Map<string, Result>();
  for (const key of await db.getAllKeys("results", IDBKeyRange.bound(start, `${start}\uffff`))) {
    const parsed = resultSchema.safeParse(await db.get("results", key));
    if (parsed.success) {
      kept.set(key.slice(start.length), parsed.data);
    }
  }
  return kept;
}
