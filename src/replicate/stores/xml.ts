/** Reads the lists that stores give as XML; names of elements are compared without their prefix. */
import { parseXml, type XmlElement, type XmlNode } from "@rgrove/parse-xml";

const local = (name: string): string => name.slice(name.indexOf(":") + 1);

const isElement = (node: XmlNode): node is XmlElement => node.type === "element";

/** The root element; null where the text is no XML. Entities other than XML's own five are refused. */
export function rootOf(text: string): XmlElement | null {
  try {
    return parseXml(text).root;
  } catch {
    return null;
  }
}

/** All elements of a name below a node, outermost first. */
export function all(node: XmlElement, name: string): XmlElement[] {
  return node.children
    .filter(isElement)
    .flatMap((child) => [...(local(child.name) === name ? [child] : []), ...all(child, name)]);
}

/** Text of the first element of a name; null where there is none. */
export const first = (node: XmlElement, name: string): string | null =>
  all(node, name)[0]?.text.trim() ?? null;
