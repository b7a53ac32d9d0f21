/** Measures stored records again with the present engine and says which verdicts would change. */
import { nodePorts } from "../../../workers/node/node-ports.ts";
import { runJob } from "../../job/run/run.ts";
import { closedRevisionOf } from "../../record/close-revision.ts";
import type { Sha256 } from "../../record/sha256.ts";
import { faultSentence } from "../../replicate/faults/faults.ts";
import type { Entry } from "../../replicate/formats/entry.ts";
import type { ListedRecord } from "../../replicate/sync/catalogue.ts";
import { getObject, type Vault } from "../../replicate/sync/vault.ts";
import { UnusableInput } from "../job-folder.ts";
import { jobInputFrom } from "../record-archive.ts";

export interface Recomputed {
  readonly same: number;
  /** A line for each verdict that would be another one. */
  readonly changed: readonly string[];
  /** Records that cannot be measured again, and why. */
  readonly notPossible: readonly string[];
}

export async function recomputeRecords(
  vault: Vault,
  records: readonly ListedRecord[],
  entries: readonly Entry[],
  say: (line: string) => void,
): Promise<Recomputed> {
  const byHash = new Map<Sha256, Entry>(entries.map((entry) => [entry.sha256, entry]));
  const changed: string[] = [];
  const notPossible: string[] = [];
  let same = 0;
  const { ports, close } = nodePorts();
  const bytesOf = async (sha256: Sha256): Promise<Uint8Array<ArrayBuffer>> => {
    const entry = byHash.get(sha256);
    if (!entry) throw new UnusableInput("it is not in the store yet");
    const got = await getObject(vault, entry);
    if (!got.ok) throw new UnusableInput(faultSentence(got.fault));
    return got.bytes;
  };
  try {
    for (const { sha256, summary } of records) {
      const name = `${summary.closedAt} ${summary.title || summary.vehicle} (${sha256.slice(0, 12)})`;
      say(`Measuring again: ${name}`);
      try {
        const lines = await verdictsThatChange(sha256);
        if (lines.length === 0) same++;
        changed.push(...lines.map((line) => `${name}: ${line}`));
      } catch (error) {
        if (!(error instanceof UnusableInput)) throw error;
        notPossible.push(`${name}: ${error.message}`);
      }
    }
  } finally {
    close();
  }
  return { same, changed, notPossible };

  async function verdictsThatChange(sha256: Sha256): Promise<string[]> {
    const sealed = closedRevisionOf(await bytesOf(sha256), sha256);
    const closed = sealed?.revision.content.result;
    if (!sealed || !closed) throw new UnusableInput("it holds no result to compare with");
    // All photos first: one that is missing is no other verdict.
    for (const { sha256: photo } of sealed.revision.content.photos) {
      if (!byHash.has(photo)) throw new UnusableInput("not all its photos are in the store");
    }
    const input = jobInputFrom(sealed.revision, (photo) => bytesOf(photo.sha256));
    const answer = await runJob(input, ports);
    if (!answer.ok) return [`was ${closed.outcome}, would now be refused`];
    const now = new Map(answer.result.checks.map(({ id, verdict }) => [id, verdict]));
    return closed.checks.flatMap(({ id, label, verdict }) =>
      now.get(id) === verdict
        ? []
        : [`${label || id}: was ${verdict}, would now be ${now.get(id) ?? "not measured"}`],
    );
  }
}
