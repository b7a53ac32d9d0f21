import type { PaperDocument, PaperSize } from "../../record/paper/paper.ts";
import type { Revision } from "../../record/revision.ts";
import type { Sha256 } from "../../record/sha256.ts";
import { changeLines } from "./changes.ts";
import { inputBlocks } from "./inputs.ts";
import type { PaperWords } from "./paper-words.ts";
import { photoBlocks } from "./photos.ts";
import { resultBlocks } from "./results.ts";
import { summaryBlocks } from "./summary.ts";

/** A closed revision as a document for paper, in the reader's language and units. */
export function paperOfRevision(
  { revision, sha256 }: { readonly revision: Revision; readonly sha256: Sha256 },
  size: PaperSize,
  language: string,
  words: PaperWords,
): PaperDocument {
  const { t } = words;
  const { content } = revision;
  const title = content.title || content.car.description || content.car.plate;
  const name = t("record.revision", { record: revision.record, number: revision.number });
  return {
    size,
    language,
    title: `${t("paper.title")}: ${title}`,
    subject: name,
    author: [content.work.technician, content.work.shop].filter(Boolean).join(", "),
    date: revision.closedAt,
    foot: {
      left: `${name} · SHA-256 ${sha256}`,
      right: t("record.page", { page: "{page}", pages: "{pages}" }),
    },
    blocks: [
      ...summaryBlocks(revision, size, words),
      ...inputBlocks(revision, words),
      ...resultBlocks(revision, words),
      ...photoBlocks(revision, words),
      ...proofBlocks(revision, sha256, words),
    ],
    strangerNote: t("record.notInTypeface"),
  };
}

/** Changes that are listed in full. */
const mostChanges = 60;

function proofBlocks(
  revision: Revision,
  sha256: Sha256,
  words: PaperWords,
): PaperDocument["blocks"] {
  const { t } = words;
  const { chain, supersedes } = revision;
  const items: [string, string][] = [
    [t("record.hash"), sha256],
    ...(supersedes ? ([[t("record.before"), supersedes]] as [string, string][]) : []),
    [t("record.chain"), `${chain.sequence}, ${chain.previous ?? t("record.first")}`],
    ["", revision.program],
  ];
  return [
    ...(revision.changes.length > 0
      ? ([
          {
            kind: "heading",
            level: 1,
            words: t("record.changesTitle", { number: revision.number }),
          },
          { kind: "list", small: true, items: changeLines(revision, words, mostChanges) },
        ] as const)
      : []),
    { kind: "heading", level: 1, words: t("record.proof") },
    { kind: "text", words: t("record.proofLine") },
    { kind: "text", words: t("record.proofNot") },
    { kind: "facts", columns: 1, items },
  ];
}
