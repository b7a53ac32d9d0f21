/** Verifies what an archive says about photos that were left out of it. */
import { type ByteSource, readAll } from "../archive/byte-source.ts";
import type { ArchivedFile } from "../archive/read-archive.ts";
import { hashOf, type Sha256 } from "../sha256.ts";
import { photosOf, readWithheld, type Withheld, withheldFileName } from "../withheld.ts";
import { type Finding, fault, note } from "./finding.ts";
import type { PlacedRevision } from "./verify-chain.ts";

export interface VerifiedWithheld {
  readonly findings: readonly Finding[];
  /** Photos that need not be there. */
  readonly photos: ReadonlySet<Sha256>;
  /** Files that belong to it. */
  readonly known: readonly string[];
}

/**
 * Either all photos are left out or none: a list of some of them was changed. Copies must be those
 * that the archive was made with.
 */
export async function verifyWithheld(
  source: ByteSource,
  files: readonly ArchivedFile[],
  placed: readonly PlacedRevision[],
): Promise<VerifiedWithheld> {
  const read = ({ from, size }: ArchivedFile) => readAll(source, from, from + size);
  const statement = files.find(({ name }) => name === withheldFileName);
  if (!statement) return { findings: [], photos: new Set(), known: [] };
  const withheld = readWithheld(new TextDecoder().decode(await read(statement)));
  const photos = photosOf(placed.map(({ revision }) => revision));
  if (!withheld || withheld.photos.join() !== photos.join()) {
    const wrong = fault("finding.withheldWrong", withheldFileName);
    return { findings: [wrong], photos: new Set(), known: [withheldFileName] };
  }
  const findings: Finding[] = [];
  for (const [name, sha256] of Object.entries(withheld.files)) {
    const file = files.find((one) => one.name === name);
    if (!file) findings.push(fault("finding.fileMissing", name));
    else if (hashOf(await read(file)) !== sha256) findings.push(fault("finding.fileChanged", name));
  }
  return {
    findings: [...findings, ...notes(withheld)],
    photos: new Set(withheld.photos),
    known: [withheldFileName, ...Object.keys(withheld.files)],
  };
}

function notes({ photos, files }: Withheld): Finding[] {
  const count = Object.keys(files).length;
  return [
    note("finding.withheld", withheldFileName, { count: photos.length }),
    ...(count > 0 ? [note("finding.copies", withheldFileName, { count })] : []),
  ];
}
