import { type House, roomOf } from "./problems.ts";
import type { Source } from "./sources.ts";

/**
 * The drawing of the parts for DEVELOPERS.md, made from what the code really imports: a row a room,
 * from the bottom up, with the rooms that it stands on. A room that is reached through another one
 * is left out of the row (transitive reduction), so that the row shows the nearest supports only.
 */

const begin = "<!-- parts: npm run docs:house -->";
const end = "<!-- end of parts -->";

const short = (room: string): string => room.replace(/^src\//, "");

export const drawingOf = (house: House, sources: readonly Source[]): string => {
  const uses = usesOf(house, sources);
  const reach = new Map<string, Set<string>>();
  const reached = (room: string): Set<string> => {
    const known = reach.get(room);
    if (known) return known;
    const all = new Set<string>();
    reach.set(room, all);
    for (const next of uses.get(room)!) for (const far of [next, ...reached(next)]) all.add(far);
    return all;
  };
  const rows = Object.entries(house).map(([room, { what, inner }]) => {
    const direct = [...uses.get(room)!];
    const near = direct.filter((a) => !direct.some((b) => b !== a && reached(b).has(a)));
    const rooms = (inner ?? []).filter((name) => name !== ".");
    return [
      `| \`${short(room)}\` | ${what} | ${near.map(short).sort().join(", ") || "–"} |`,
      rooms.length > 0 ? ` ${rooms.join(", ")} |` : " |",
    ].join("");
  });
  return [
    "| room | what | stands on | inner rooms, from the bottom up |",
    "| --- | --- | --- | --- |",
  ]
    .concat(rows)
    .join("\n");
};

const usesOf = (house: House, sources: readonly Source[]): Map<string, Set<string>> => {
  const uses = new Map(Object.keys(house).map((room) => [room, new Set<string>()]));
  for (const { path, imports } of sources)
    for (const { target, isPackage } of imports) {
      const [from, to] = [roomOf(house, path), isPackage ? undefined : roomOf(house, target)];
      if (from && to && from !== to) uses.get(from)!.add(to);
    }
  return uses;
};

/** The drawing that a text holds between its marks. */
export const drawnIn = (text: string): string =>
  text.slice(text.indexOf(begin) + begin.length, text.indexOf(end)).trim();

/** The text with a new drawing between its marks. */
export const withDrawing = (text: string, drawing: string): string => {
  if (!text.includes(begin) || !text.includes(end))
    throw new Error(`The text holds no marks ${begin} and ${end}.`);
  const from = text.slice(0, text.indexOf(begin) + begin.length);
  return `${from}\n${drawing}\n${text.slice(text.indexOf(end))}`;
};
