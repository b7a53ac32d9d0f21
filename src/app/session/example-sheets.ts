/** Free texts of a sheet; everything else is ids, kinds, numbers and names that must match. */
const freeTexts = new Set(["title", "vehicle", "source", "note", "label", "reference"]);

/** The same sheet with its free texts and the names of its targets said by `say`. */
function inWords(value: unknown, key: string, say: (english: string) => string): unknown {
  if (Array.isArray(value)) {
    return value.map((item) => inWords(item, key, say));
  }
  if (typeof value === "object" && value !== null) {
    return Object.fromEntries(
      Object.entries(value).map(([name, item]) => [
        name,
        inWords(item, key === "target" && name === "name" ? "title" : name, say),
      ]),
    );
  }
  return typeof value === "string" && freeTexts.has(key) ? say(value) : value;
}

/** The invented example sheets that ship with the program, loaded only when asked for. */
export async function exampleSheets(
  say: (english: string) => string,
): Promise<{ readonly title: string; readonly sheet: unknown }[]> {
  const { exampleSheets: sheets } = await import("../../placement/examples/index.ts");
  return Object.values(sheets).map((sheet) => ({
    title: say(sheet.title),
    sheet: inWords(sheet, "", say),
  }));
}
