import { cyclesIn } from "./cycles.ts";
import type { Room } from "./rooms.ts";
import { fileGraph, folderGraph, folderOf, type Source } from "./sources.ts";

export type House = Readonly<Record<string, Room>>;

/** Globals that ECMAScript itself offers, or that types do not catch, and that pure code may not use. */
const forbiddenInPure = /(?<![\w./-])(globalThis|Date\.now|new Date\(\)|Math\.random)/;

/** Everything that stands against the declared house: imports, packages, impure code, cycles. */
export const problemsOf = (house: House, sources: readonly Source[]): string[] => [
  ...sources.flatMap((source) => problemsOfSource(house, source)),
  ...cyclesIn(fileGraph(sources)).map((files) => `cycle of files: ${files.join(", ")}`),
  ...cyclesIn(folderGraph(sources)).map((folders) => `cycle of folders: ${folders.join(", ")}`),
];

/** The room that a path lies in; the longest name that fits. */
export const roomOf = (house: House, path: string): string | undefined =>
  Object.keys(house)
    .filter((room) => path.startsWith(`${room}/`))
    .sort((a, b) => b.length - a.length)[0];

const innerOf = (room: string, folder: string): string =>
  folder === room ? "." : folder.slice(room.length + 1);

const problemsOfSource = (house: House, { path, text, imports }: Source): string[] => {
  const name = roomOf(house, path);
  if (!name) return [`${path} lies in no room: declare one in tests/tools/house/rooms.ts`];
  const room = house[name];
  const inner = room.inner ?? ["."];
  const at = inner.indexOf(innerOf(name, folderOf(path)));
  if (at < 0)
    return [`${path} lies in no inner room of ${name}: declare it in tests/tools/house/rooms.ts`];
  const problems: string[] = [];
  for (const { target, isPackage, typeOnly } of imports) {
    if (isPackage) {
      if (room.packages && !typeOnly && ![...room.packages, "zod"].includes(target))
        problems.push(`${path} imports package ${target}: this room may not`);
      continue;
    }
    const other = roomOf(house, target);
    if (other === name) {
      const place = inner.indexOf(innerOf(name, folderOf(target)));
      if (place > at) problems.push(`${path} imports ${target}: an inner room above its own`);
    } else if (!room.may.some((may) => target.startsWith(`${may}/`)))
      problems.push(`${path} imports ${target}: against the direction of the design`);
  }
  const hit = room.packages && withoutComments(text).match(forbiddenInPure);
  if (hit) problems.push(`${path} uses ${hit[0]}: pure rooms may not`);
  return problems;
};

const withoutComments = (text: string): string =>
  text.replace(/\/\*[\s\S]*?\*\//g, "").replace(/(^|[^:"'`])\/\/.*$/gm, "$1");
