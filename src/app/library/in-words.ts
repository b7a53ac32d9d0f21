/** Free texts of a sheet or job; all else is ids, kinds, numbers, and names that rules look for. */
const freeTexts = new Set(["title", "vehicle", "source", "note", "label", "reference"]);
/** Names that may be called anything: of targets and of the feet of their stands. */
const named = new Set(["target", "targets", "feet"]);

/** The same sheet or job of ours with its free texts said by `say`. */
export function inWords(value: unknown, say: (english: string) => string, key = ""): unknown {
  if (Array.isArray(value)) {
    return value.map((item) => inWords(item, say, key));
  }
  if (typeof value === "object" && value !== null) {
    return Object.fromEntries(
      Object.entries(value).map(([name, item]) => [
        name,
        inWords(item, say, name === "name" && named.has(key) ? "title" : name),
      ]),
    );
  }
  return typeof value === "string" && freeTexts.has(key) ? say(value) : value;
}
