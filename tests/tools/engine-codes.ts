import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { parseAst } from "vite";

/**
 * Where the engine makes a sentence: an object with a literal `code`, or a call whose first argument
 * is one. Found in the syntax tree of the sources, so that no list has to be kept by hand.
 */
export interface MadeSentence {
  readonly file: string;
  /** The code; ends in "*" where the rest is filled in. */
  readonly code: string;
  /** Names of the values; null where they are not written out on the spot. */
  readonly values: readonly string[] | null;
  /** True where it is a remark, with severity and message of its own. */
  readonly remark: boolean;
}

interface Node {
  readonly type: string;
  readonly [part: string]: unknown;
}

const root = join(import.meta.dirname, "../..");
/** Everything below cli, app and workers' shells speaks through codes. */
const folders = [
  ...[
    "say",
    "photo",
    "lens",
    "boards",
    "detect",
    "adjust",
    "calibrate",
    "vehicle",
    "placement",
    "job",
    "acceptance",
    "plan",
  ].map((name) => `src/${name}`),
  "src/app/state",
  "src/app/session",
  "src/app/archive",
  "src/app/photos",
  "src/app/library",
  "workers",
];

export const madeSentences = (): MadeSentence[] =>
  folders.flatMap(sourceFiles).flatMap((file) => {
    const found: MadeSentence[] = [];
    const tree = parseAst(readFileSync(join(root, file), "utf8"), { lang: "ts" });
    visit(tree as unknown as Node, (node) => {
      for (const code of codesOf(node))
        found.push({ file, code, values: valuesOf(node), remark: isRemark(node) });
    });
    return found;
  });

const sourceFiles = (folder: string): string[] =>
  readdirSync(join(root, folder), { recursive: true, encoding: "utf8" })
    .filter((name) => name.endsWith(".ts") && !name.includes("assembly"))
    .map((name) => `${folder}/${name}`);

function visit(node: Node, each: (node: Node) => void): void {
  each(node);
  for (const part of Object.values(node)) {
    for (const child of Array.isArray(part) ? part : [part]) {
      if (typeof child === "object" && child !== null && "type" in child) visit(child, each);
    }
  }
}

const codesOf = (node: Node): string[] => {
  if (node.type === "ObjectExpression") {
    const code = property(node, "code");
    return code ? literals(code.value as Node) : [];
  }
  if (node.type === "CallExpression") {
    const [first, ...others] = node.arguments as Node[];
    const says = others.some((argument) => isText(argument));
    return first?.type === "Literal" && says ? literals(first) : [];
  }
  return [];
};

const isRemark = (node: Node): boolean =>
  node.type === "ObjectExpression" &&
  property(node, "severity") !== undefined &&
  property(node, "message") !== undefined;

const isText = ({ type, value }: Node): boolean =>
  type === "TemplateLiteral" ||
  type === "BinaryExpression" ||
  (type === "Literal" && typeof value === "string" && value.includes(" "));

const literals = (node: Node): string[] => {
  switch (node.type) {
    case "Literal":
      return typeof node.value === "string" ? [node.value] : [];
    case "TemplateLiteral":
      return [`${(node.quasis as { value: { cooked: string } }[])[0].value.cooked}*`];
    case "ConditionalExpression":
      return [...literals(node.consequent as Node), ...literals(node.alternate as Node)];
    case "TSAsExpression":
    case "TSSatisfiesExpression":
      return literals(node.expression as Node);
    default:
      return [];
  }
};

const valuesOf = (node: Node): string[] | null => {
  if (node.type === "CallExpression") {
    const last = (node.arguments as Node[]).at(-1)!;
    return last.type === "ObjectExpression" ? namesIn(last) : [];
  }
  const values = property(node, "values");
  if (!values) return [];
  const value = values.value as Node;
  // A function makes the values of a rule from the photo it judges, which it does not name itself.
  const made = value.type === "ArrowFunctionExpression";
  const object = made ? (value.body as Node) : value;
  const names = namesIn(object);
  return names && made ? [...names, "photo"] : names;
};

const namesIn = (node: Node): string[] | null => {
  if (node.type === "ParenthesizedExpression") return namesIn(node.expression as Node);
  if (node.type !== "ObjectExpression") return null;
  const parts = node.properties as Node[];
  if (parts.some((part) => part.type !== "Property")) return null;
  return parts.map((part) => String((part.key as Node).name ?? (part.key as Node).value));
};

const property = (node: Node, name: string): Node | undefined =>
  (node.properties as Node[]).find(
    (part) => part.type === "Property" && (part.key as Node).name === name,
  );
