/**
 * Tagged PDF (ISO 32000-1, 14.7 and 14.8): what is a heading, a paragraph, a table, a figure, in
 * reading order, so that a screen reader can follow. pdf-lib has no words for it; its low-level
 * objects do.
 */
import {
  type PDFDocument,
  PDFHexString,
  PDFName,
  PDFOperator,
  PDFOperatorNames,
  type PDFPage,
  type PDFRef,
} from "pdf-lib";

export type Role = "H1" | "H2" | "H3" | "P" | "L" | "LI" | "Table" | "TR" | "TH" | "TD" | "Figure";

interface Element {
  readonly ref: PDFRef;
  readonly role: Role | "Document";
  readonly parent: PDFRef;
  readonly alt: string | null;
  readonly kids: (Element | { readonly page: PDFPage; readonly mark: number })[];
}

/** Collects the elements while pages are drawn and writes them at the end. */
export class Structure {
  readonly #pdf: PDFDocument;
  readonly #rootRef: PDFRef;
  readonly #whole: Element;
  #open: Element[];
  readonly #marks = new Map<PDFPage, PDFRef[]>();

  constructor(pdf: PDFDocument) {
    this.#pdf = pdf;
    this.#rootRef = pdf.context.nextRef();
    const ref = pdf.context.nextRef();
    this.#whole = { ref, role: "Document", parent: this.#rootRef, alt: null, kids: [] };
    this.#open = [this.#whole];
  }

  /** What is drawn inside belongs to an element of this role, inside the one that is open. */
  within(role: Role, draw: () => void, alt: string | null = null): void {
    const parent = this.#open.at(-1)!;
    const ref = this.#pdf.context.nextRef();
    const element: Element = { ref, role, parent: parent.ref, alt, kids: [] };
    parent.kids.push(element);
    this.#open.push(element);
    draw();
    this.#open.pop();
  }

  /** Marks what is drawn on a page as content of the open element. */
  content(page: PDFPage, draw: () => void): void {
    const element = this.#open.at(-1)!;
    const marks = this.#marks.get(page) ?? [];
    this.#marks.set(page, marks);
    const mark = marks.length;
    marks.push(element.ref);
    element.kids.push({ page, mark });
    const tag = element.role === "Document" ? "Span" : element.role;
    this.#between(page, `/${tag} <</MCID ${mark}>>`, "BDC", draw);
  }

  /** Page numbers and rules: no content. */
  artifact(page: PDFPage, draw: () => void): void {
    this.#between(page, "/Artifact", "BMC", draw);
  }

  #between(page: PDFPage, operand: string, operator: "BDC" | "BMC", draw: () => void): void {
    const begin =
      operator === "BDC"
        ? PDFOperatorNames.BeginMarkedContentSequence
        : PDFOperatorNames.BeginMarkedContent;
    page.pushOperators(PDFOperator.of(begin, [operand]));
    draw();
    page.pushOperators(PDFOperator.of(PDFOperatorNames.EndMarkedContent));
  }

  /** Writes the tree into the document's catalogue. */
  write(): void {
    const { context, catalog } = this.#pdf;
    this.#writeElement(this.#whole);
    const numbers = [...this.#marks].flatMap(([page, refs], index) => {
      page.node.set(PDFName.of("StructParents"), context.obj(index));
      page.node.set(PDFName.of("Tabs"), PDFName.of("S"));
      return [context.obj(index), context.register(context.obj(refs))];
    });
    const root = context.obj({
      Type: "StructTreeRoot",
      K: [this.#whole.ref],
      ParentTree: context.register(context.obj({ Nums: numbers })),
      ParentTreeNextKey: this.#marks.size,
    });
    context.assign(this.#rootRef, root);
    catalog.set(PDFName.of("StructTreeRoot"), this.#rootRef);
    catalog.set(PDFName.of("MarkInfo"), context.obj({ Marked: true }));
  }

  #writeElement(element: Element): void {
    const { context } = this.#pdf;
    const kids = element.kids.map((kid) => {
      if ("ref" in kid) {
        this.#writeElement(kid);
        return kid.ref;
      }
      return context.obj({ Type: "MCR", Pg: kid.page.ref, MCID: kid.mark });
    });
    const dictionary = context.obj({
      Type: "StructElem",
      S: element.role,
      P: element.parent,
      K: kids,
    });
    if (element.alt !== null) {
      dictionary.set(PDFName.of("Alt"), PDFHexString.fromText(element.alt));
    }
    context.assign(element.ref, dictionary);
  }
}
