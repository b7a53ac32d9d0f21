import { inWords } from "./in-words.ts";

/** The invented example sheets that ship with the program, loaded only when asked for. */
export async function exampleSheets(
  say: (english: string) => string,
): Promise<{ readonly title: string; readonly sheet: unknown }[]> {
  const { exampleSheets: sheets } = await import("../../placement/sheet/examples/index.ts");
  return Object.values(sheets).map((sheet) => ({
    title: say(sheet.title),
    sheet: inWords(sheet, say),
  }));
}
