/** Reads every object of the store and says what is not as it should be. */
import { canonicalText } from "../../record/canonical.ts";
import { closedRevisionOf } from "../../record/close-revision.ts";
import type { RecordedAttachment, RecordedPhoto } from "../../record/revision.ts";
import { brokenSeals } from "../../record/seals.ts";
import type { Sha256 } from "../../record/sha256.ts";
import { faultSentence } from "../../replicate/faults/faults.ts";
import type { Entry } from "../../replicate/formats/entry.ts";
import { getObject, type Vault } from "../../replicate/sync/vault.ts";

export interface StoreVerification {
  readonly objects: number;
  readonly records: number;
  /** Sentences, one for each thing that is wrong. */
  readonly wrong: readonly string[];
  /** Records whose photos are not all in the store yet: no fault, they may still come. */
  readonly incomplete: readonly string[];
}

/** `say` hears of the progress. `photos`: read photos too, not only records. */
export async function verifyStore(
  vault: Vault,
  entries: readonly Entry[],
  photos: boolean,
  say: (done: number, of: number) => void,
): Promise<StoreVerification> {
  const wrong: string[] = [];
  const incomplete: string[] = [];
  const known = new Set<Sha256>(entries.map(({ sha256 }) => sha256));
  const isPhoto = ({ kind }: Entry): boolean => kind === "photo" || kind === "attachment";
  const wanted = entries.filter((entry) => photos || !isPhoto(entry));
  let records = 0;
  for (const [done, entry] of wanted.entries()) {
    say(done, wanted.length);
    const got = await getObject(vault, entry);
    if (!got.ok) {
      wrong.push(faultSentence(got.fault));
      continue;
    }
    if (entry.kind !== "record") continue;
    records++;
    const sealed = closedRevisionOf(got.bytes, entry.sha256);
    if (!sealed) {
      wrong.push(`Record ${entry.sha256} cannot be read by this version of the program.`);
      continue;
    }
    const { revision } = sealed;
    const { seals, ...document } = JSON.parse(canonicalText(revision));
    for (const { path } of brokenSeals(document, seals)) {
      wrong.push(`Record ${entry.sha256}: ${path} is not as it was sealed.`);
    }
    const files: readonly (RecordedPhoto | RecordedAttachment)[] = [
      ...revision.content.photos,
      ...revision.content.attachments,
    ];
    const missing = files.filter(({ sha256 }) => !known.has(sha256)).length;
    if (missing > 0) {
      incomplete.push(
        `Record ${entry.sha256}: ${missing} of ${files.length} photos and files are not in the store yet.`,
      );
    }
  }
  return { objects: wanted.length, records, wrong, incomplete };
}
