/** Verifies one closed revision against the hash that names it, and says which part was changed. */
import { readJson } from "../../job/file/bounded-json.ts";
import { canonicalText, type Json } from "../canonical.ts";
import { type Revision, readRevision } from "../revision.ts";
import { brokenSeals, type Seals } from "../seals.ts";
import { hashOf, type Sha256 } from "../sha256.ts";
import { type Finding, fault } from "./finding.ts";

export interface VerifiedDocument {
  readonly sha256: Sha256;
  /** Null where it cannot be read as a revision. */
  readonly revision: Revision | null;
  readonly findings: readonly Finding[];
}

const howCodes = {
  changed: "finding.partChanged",
  missing: "finding.partMissing",
  added: "finding.partAdded",
} as const;

/** `named` is the hash that the revision is known by: its file's name, or the next one's link. */
export function verifyDocument(bytes: Uint8Array, named: Sha256, file: string): VerifiedDocument {
  const sha256 = hashOf(bytes);
  const text = new TextDecoder().decode(bytes);
  const reading = readJson(text);
  if (!reading.ok) {
    const detail = reading.reason || reading.problem;
    return { sha256, revision: null, findings: [fault("finding.notJson", file, { detail })] };
  }
  const value = reading.value as Json;
  const findings = [
    ...partFindings(value, file),
    ...canonicalFindings(value, text, file),
    ...(sha256 === named ? [] : [fault("finding.otherHash", file)]),
  ];
  const read = readRevision(value);
  if (read.ok) return { sha256, revision: read.revision, findings };
  const wrong = fault("finding.notARevision", file, { detail: read.detail });
  return { sha256, revision: null, findings: [...findings, wrong] };
}

function partFindings(value: Json, file: string): Finding[] {
  if (typeof value !== "object" || value === null || Array.isArray(value)) return [];
  const { seals, ...sealed } = value as Record<string, Json>;
  if (typeof seals !== "object" || seals === null || Array.isArray(seals)) return [];
  return brokenSeals(sealed, seals as unknown as Seals).map(({ path, how }) =>
    fault(howCodes[how], file, { part: path.slice(1) }),
  );
}

/** The bytes must be the one text that the value has. */
function canonicalFindings(value: Json, text: string, file: string): Finding[] {
  const canonical = canonicalText(value);
  if (canonical === text) return [];
  let at = 0;
  while (at < text.length && text[at] === canonical[at]) at++;
  const byte = new TextEncoder().encode(text.slice(0, at)).length;
  return [fault("finding.notCanonical", file, { byte })];
}
