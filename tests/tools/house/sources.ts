import { readdirSync, readFileSync } from "node:fs";
import { join, posix } from "node:path";

/** Sources of a tree and what they import, read from their text. */

export interface Import {
  /** A path from the root of the project, or the name of a package. */
  readonly target: string;
  readonly isPackage: boolean;
  /** True where only types are imported: such an import is gone when the code runs. */
  readonly typeOnly: boolean;
}

export interface Source {
  /** Path from the root of the project. */
  readonly path: string;
  readonly text: string;
  readonly imports: readonly Import[];
}

/** All TypeScript files below `folders` of the tree at `root`; declarations (.d.ts) import nothing. */
export const readSources = (root: string, folders: readonly string[]): Source[] =>
  folders.flatMap((folder) =>
    readdirSync(join(root, folder), { recursive: true, encoding: "utf8" })
      .filter((name) => /\.tsx?$/.test(name) && !name.endsWith(".d.ts"))
      .map((name) => posix.join(folder, name))
      .map((path) => sourceOf(path, readFileSync(join(root, path), "utf8"))),
  );

export const sourceOf = (path: string, text: string): Source => ({
  path,
  text,
  imports: [
    ...text.matchAll(
      /(?:^|\n)\s*(?:import|export)\s+(type\s+)?(?:[^"';]*?\sfrom\s+)?["']([^"']+)["']/g,
    ),
    ...text.matchAll(/\b(?:import|new URL)\(\s*()["'](\.?[^"']+)["'](?=[,)\s])/g),
  ]
    .filter(([all, , specifier]) => !all.includes("new URL") || specifier.startsWith("./"))
    .map(([, typeOnly, specifier]) => importOf(path, specifier, Boolean(typeOnly))),
});

const importOf = (from: string, specifier: string, typeOnly: boolean): Import => {
  const isPackage = !specifier.startsWith(".");
  const clean = specifier.split("?")[0];
  const target = isPackage ? clean : posix.normalize(posix.join(posix.dirname(from), clean));
  return { target, isPackage, typeOnly };
};

/** The folder of a source or of what it imports. */
export const folderOf = (path: string): string => posix.dirname(path);

/** Which folder uses which others, from the imports between sources of a list. */
export const folderGraph = (sources: readonly Source[]): Map<string, Set<string>> => {
  const graph = new Map(sources.map(({ path }) => [folderOf(path), new Set<string>()]));
  for (const { path, imports } of sources)
    for (const { target, isPackage } of imports) {
      const other = folderOf(target);
      if (!isPackage && other !== folderOf(path) && graph.has(other))
        graph.get(folderOf(path))!.add(other);
    }
  return graph;
};

/** Which file uses which others. */
export const fileGraph = (sources: readonly Source[]): Map<string, Set<string>> => {
  const known = new Set(sources.map(({ path }) => path));
  return new Map(
    sources.map(({ path, imports }) => [
      path,
      new Set(imports.map(({ target }) => target).filter((target) => known.has(target))),
    ]),
  );
};
