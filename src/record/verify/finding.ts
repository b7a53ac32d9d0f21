/** What verification finds, as data; the sentences are beside it in English. */

/** Faults mean that something is not as it was closed; notes only say how far the proof reaches. */
export type FindingCode = keyof typeof findingTexts;

export interface Finding {
  readonly code: FindingCode;
  readonly severity: "fault" | "note";
  /** File in the archive, or null for the archive as a whole. */
  readonly file: string | null;
  readonly values: Readonly<Record<string, string | number>>;
}

/**
 * `{name}` is filled in, `{count|one|many}` chooses by number; `{file}` is the file that the finding
 * is about.
 */
export const findingTexts = {
  "finding.noArchive": "This is no record archive, or another program has packed it again.",
  "finding.noRevision": "There is no closed revision in this archive.",
  "finding.header": "{file}: the container's header in front of this file was changed.",
  "finding.directory": "{file}: the container's directory line of this file was changed.",
  "finding.checksum": "{file}: the bytes are not those that were packed.",
  "finding.end": "The end of the archive was changed.",
  "finding.truncated": "The end of the archive is missing: it was cut off.",
  "finding.partChanged": "{file}: {part} was changed after closing.",
  "finding.partMissing": "{file}: {part} was taken out after closing.",
  "finding.partAdded": "{file}: {part} was put in after closing.",
  "finding.notCanonical": "{file}: the text was written differently, from byte {byte} on.",
  "finding.notJson": "{file}: the document is damaged and cannot be read ({detail}).",
  "finding.otherHash": "{file}: the document is not the one that its name stands for.",
  "finding.notARevision": "{file}: this is no closed revision ({detail}).",
  "finding.otherRecord": "{file}: this revision belongs to another record.",
  "finding.numberMissing": "Revision {number} is missing.",
  "finding.numberTwice": "There are two revisions {number}.",
  "finding.supersedes":
    "{file}: revision {number} does not follow on the revision {before} that is here.",
  "finding.chain": "{file}: number {sequence} of its device does not follow on number {before}.",
  "finding.chainGap": "Number {sequence} of the device is not here; it cannot be compared.",
  "finding.fileChanged": "{file}: this file was changed after closing.",
  "finding.fileMissing": "{file}: this file is missing.",
  "finding.fileAdded": "{file}: this file does not belong to the record.",
  "finding.withheld":
    "{count} {count|photo is|photos are} not in this archive, on purpose: whoever made it left them out. Numbers, inputs and the photos' hashes are as they were closed; the photos themselves cannot be checked or measured again here.",
  "finding.copies":
    "{count} {count|copy stands|copies stand} in for them. Copies are no part of the record and prove nothing.",
  "finding.withheldWrong": "{file}: it does not fit what is in the archive.",
  "finding.textChanged": "{file}: this file does not say what the closed revision says.",
  "finding.signatureBroken": "{file}: the signature does not fit: it or what it signs was changed.",
  "finding.signatureUnknown": "{file}: signed with a key that was not asked for ({fingerprint}).",
  "finding.signatureMissing":
    "Revision {number} is not signed, although a signature was asked for ({fingerprint}).",
  "finding.signed": "Revision {number} is signed by {signer}, key {fingerprint}.",
  "finding.unsigned":
    "Revision {number} is not signed. Whoever has the file could have made it anew as a whole.",
} as const;

export const fault = (
  code: FindingCode,
  file: string | null = null,
  values: Finding["values"] = {},
): Finding => ({ code, severity: "fault", file, values });

export const note = (
  code: FindingCode,
  file: string | null = null,
  values: Finding["values"] = {},
): Finding => ({ code, severity: "note", file, values });

/** The English sentence of a finding. */
export const findingSentence = ({ code, file, values }: Finding): string =>
  findingTexts[code].replace(/\{(\w+)(?:\|([^|}]*)\|([^}]*))?\}/g, (gap, name, one, many) =>
    one === undefined
      ? String(name === "file" ? (file ?? "") : (values[name] ?? gap))
      : values[name] === 1
        ? one
        : many,
  );
