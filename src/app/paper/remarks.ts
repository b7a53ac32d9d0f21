import type { Result } from "../../job/result/result.ts";
import type { Block } from "../../record/paper/paper.ts";
import type { PaperWords } from "./paper-words.ts";

/** Remarks of the program beside those that the first page gives as reasons. */
export function remarksOf({ remarks, heldBack }: Result, { t, sayRemark }: PaperWords): Block[] {
  const said = new Set(heldBack.map(({ code, message }) => code + message));
  const others = remarks.filter(({ code, message }) => !said.has(code + message));
  if (others.length === 0) return [];
  return [
    { kind: "heading", level: 2, words: t("record.remarks") },
    { kind: "list", small: true, items: others.map((remark) => sayRemark(remark).message) },
  ];
}
