/**
 * Fails on an import against the direction of the design. Each folder lists the folders that it may
 * import; pure folders may import no package except zod (and type-only opencv for the tag finder).
 */
import { readdirSync, readFileSync } from "node:fs";
import { dirname, join, relative, resolve } from "node:path";
import { fileURLToPath } from "node:url";

const root = resolve(dirname(fileURLToPath(import.meta.url)), "../..");

/** Folder -> folders it may import besides itself. */
const allowed: Record<string, readonly string[]> = {
  "src/maths": [],
  "src/say": [],
  "src/photo": ["src/say"],
};
const order = [
  "src/maths",
  "src/say",
  "src/photo",
  "src/lens",
  "src/boards",
  "src/detect",
  "src/adjust",
  "src/calibrate",
  "src/vehicle",
  "src/placement",
  "src/job",
  "src/record",
];
for (const [i, folder] of order.entries()) allowed[folder] ??= order.slice(0, i);
allowed.workers = order;
allowed["src/cli"] = [...order, "workers"];
allowed["src/app"] = [...order, "workers", "calibration-boards"];

/** Packages a pure folder may use. The PDF writer and the inflater are pure computing themselves. */
const purePackages: Record<string, readonly string[]> = {
  "src/boards": ["zod", "pdf-lib"],
  "src/photo": ["zod", "fflate"],
  "src/record": [
    "zod",
    "pdf-lib",
    "@pdf-lib/fontkit",
    "@noble/hashes/sha2.js",
    "@noble/hashes/utils.js",
    "@noble/curves/nist.js",
  ],
};
const pure = new Set(order);
const forbiddenInPure =
  /(?<![\w./-])(document\.(?!ts)|window\.|navigator\.|process\.(?:env|argv|exit|stdout|stderr|cwd|nextTick)|globalThis|localStorage|Date\.now|new Date\(\)|Math\.random)/;

const sourceFiles = (folder: string): string[] =>
  readdirSync(join(root, folder), { recursive: true, encoding: "utf8" })
    .filter((name) => /\.tsx?$/.test(name) && !name.endsWith(".d.ts"))
    .map((name) => join(folder, name));

const importsOf = (text: string): { specifier: string; typeOnly: boolean }[] =>
  [
    ...text.matchAll(
      /(?:^|\n)\s*(?:import|export)\s+(type\s+)?(?:[^"';]*?\sfrom\s+)?["']([^"']+)["']/g,
    ),
    ...text.matchAll(/\bimport\(\s*()["']([^"']+)["']/g),
  ].map((match) => ({ specifier: match[2], typeOnly: Boolean(match[1]) }));

const withoutComments = (text: string): string =>
  text.replace(/\/\*[\s\S]*?\*\//g, "").replace(/(^|[^:"'`])\/\/.*$/gm, "$1");

const problems: string[] = [];
let checked = 0;
for (const [folder, may] of Object.entries(allowed))
  for (const file of sourceFiles(folder)) {
    checked++;
    const text = readFileSync(join(root, file), "utf8");
    for (const { specifier, typeOnly } of importsOf(text)) {
      if (specifier.startsWith(".")) {
        const target = relative(root, resolve(root, dirname(file), specifier.split("?")[0]));
        const inside = [folder, ...may].some((ok) => target === ok || target.startsWith(`${ok}/`));
        if (!inside)
          problems.push(`${file} imports ${target}: against the direction of the design`);
      } else if (pure.has(folder)) {
        const packages = purePackages[folder] ?? ["zod"];
        if (!typeOnly && !packages.includes(specifier))
          problems.push(`${file} imports package ${specifier}: pure folders may not`);
      }
    }
    if (pure.has(folder)) {
      const hit = withoutComments(text).match(forbiddenInPure);
      if (hit) problems.push(`${file} uses ${hit[0]}: pure folders may not`);
    }
  }

if (checked < 10) problems.push(`only ${checked} files checked: the list of folders must be wrong`);
for (const problem of problems) console.error(problem);
console.log(`imports: ${checked} files, ${problems.length} problems`);
process.exit(problems.length > 0 ? 1 : 0);
