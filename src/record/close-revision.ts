/** Makes a closed revision: an immutable object named by its hash. */
import { canonicalBytes, type Json, plainCopy } from "./canonical.ts";
import { differences } from "./differences.ts";
import {
  type ChainLink,
  type OpenPoint,
  type RecordContent,
  type Revision,
  readRevision,
  recordFormat,
  recordVersion,
} from "./revision.ts";
import { sealsOf } from "./seals.ts";
import { hashOf, type Sha256 } from "./sha256.ts";

/** A revision with the bytes that its name stands for. */
export interface SealedRevision {
  readonly sha256: Sha256;
  readonly bytes: Uint8Array<ArrayBuffer>;
  readonly revision: Revision;
}

export interface Closing {
  readonly record: string;
  readonly content: RecordContent;
  /** The revision before, null for the first. */
  readonly before: SealedRevision | null;
  /** Why there is a further revision; empty for the first. */
  readonly changeReason: string;
  readonly openPoints: readonly OpenPoint[];
  readonly chain: ChainLink;
  readonly closedAt: string;
  readonly timeZone: string;
  readonly program: string;
}

/**
 * Closes a record: the content is copied as plain JSON, so that nothing the caller does later can
 * reach it. Throws TypeError on content that JSON cannot hold.
 */
export function closeRevision(closing: Closing): SealedRevision {
  const { before } = closing;
  const content = plainCopy(closing.content);
  const unsealed: Omit<Revision, "seals"> = plainCopy({
    format: recordFormat,
    version: recordVersion,
    record: closing.record,
    number: before ? before.revision.number + 1 : 1,
    supersedes: before?.sha256 ?? null,
    changes: before ? differences(before.revision.content, content) : [],
    changeReason: before ? closing.changeReason : "",
    chain: closing.chain,
    closedAt: closing.closedAt,
    timeZone: closing.timeZone,
    program: closing.program,
    openPoints: [...closing.openPoints],
    content,
  });
  const seals = sealsOf(unsealed as unknown as Json);
  const revision = { ...unsealed, seals } as Revision;
  const bytes = canonicalBytes(revision);
  return { sha256: hashOf(bytes), bytes, revision };
}

/** A revision read back from its bytes; null where they are not those that its name stands for. */
export function closedRevisionOf(
  bytes: Uint8Array<ArrayBuffer>,
  named: Sha256,
): SealedRevision | null {
  if (hashOf(bytes) !== named) return null;
  const read = readRevision(JSON.parse(new TextDecoder().decode(bytes)));
  return read.ok ? { sha256: named, bytes, revision: read.revision } : null;
}
