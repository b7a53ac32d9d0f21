/** Verifies how revisions follow on each other: within one record, and within one device. */
import type { Revision } from "../revision.ts";
import type { Sha256 } from "../sha256.ts";
import { type Finding, fault, note } from "./finding.ts";

export interface PlacedRevision {
  readonly file: string;
  /** The hash of the bytes that are here. */
  readonly sha256: Sha256;
  readonly revision: Revision;
}

/** Revisions of one record must be numbered from 1 without gaps and each name the one before. */
export function verifyRevisions(placed: readonly PlacedRevision[]): Finding[] {
  const findings: Finding[] = [];
  const sorted = [...placed].sort((a, b) => a.revision.number - b.revision.number);
  const record = sorted.at(-1)?.revision.record;
  for (const { file, revision } of sorted) {
    if (revision.record !== record) findings.push(fault("finding.otherRecord", file));
  }
  const last = sorted.at(-1)?.revision.number ?? 0;
  for (let number = 1; number <= last; number++) {
    const count = sorted.filter(({ revision }) => revision.number === number).length;
    if (count === 0) findings.push(fault("finding.numberMissing", null, { number }));
    if (count > 1) findings.push(fault("finding.numberTwice", null, { number }));
  }
  for (const [i, { file, revision }] of sorted.entries()) {
    const before = i > 0 ? sorted[i - 1] : null;
    const follows =
      revision.number === 1
        ? revision.supersedes === null
        : before === null || revision.supersedes === before.sha256;
    if (!follows) {
      const values = { number: revision.number, before: revision.number - 1 };
      findings.push(fault("finding.supersedes", file, values));
    }
  }
  return findings;
}

/**
 * Revisions that one device has closed, of whatever records. A gap is a note: a job that was deleted
 * for good, or records that were not handed over, leave one; a link that does not fit is a fault.
 */
export function verifyDeviceChains(placed: readonly PlacedRevision[]): Finding[] {
  const findings: Finding[] = [];
  const devices = new Set(placed.map(({ revision }) => revision.chain.device));
  for (const device of devices) {
    const links = placed
      .filter(({ revision }) => revision.chain.device === device)
      .sort((a, b) => a.revision.chain.sequence - b.revision.chain.sequence);
    for (const [i, link] of links.entries()) {
      const { sequence, previous } = link.revision.chain;
      const before = i > 0 ? links[i - 1] : null;
      const next = before ? before.revision.chain.sequence + 1 : 1;
      if (sequence > next) {
        findings.push(note("finding.chainGap", null, { sequence: sequence - 1 }));
      } else if (sequence < next || previous !== (before?.sha256 ?? null)) {
        findings.push(fault("finding.chain", link.file, { sequence, before: sequence - 1 }));
      }
    }
  }
  return findings;
}
