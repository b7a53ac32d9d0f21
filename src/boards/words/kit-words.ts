/** What the printed kit says, in the languages that it is printed in. */
import type { Role, RoleKind } from "../kit.ts";

export type PrintLanguage = "en" | "es";

export interface KitWords {
  readonly language: PrintLanguage;
  readonly title: string;
  readonly subject: string;
  readonly safety: string;
  readonly upMark: string;
  readonly cut: string;
  readonly cameraSheet: string;
  role(role: Role): string;
  /** One line under the role: how this board is used. */
  readonly usage: Readonly<Record<RoleKind, string>>;
  barAcross(length: string): string;
  barUp(length: string): string;
  barUpToLower(length: string): string;
  page(paper: string, page: number, pages: number): string;
  readonly fullSize: string;
  cell(cellMm: number, ringMm: number): string;
  tag(id: number): string;
  sheetWhat(squareMm: number, markerMm: number, first: number, last: number): string;
  readonly cover: {
    readonly heading: string;
    readonly print: string;
    readonly measure: string;
    readonly glue: string;
    readonly where: string;
    readonly printWords: string;
    first(pages: string): string;
    largeCells(cellMm: number, usualMm: number): string;
    measureWords(across: string, up: string): string;
    glueWords(marginMm: number): string;
    acrossReads(length: string): string;
    upReads(length: string): string;
    readonly columns: readonly [ids: string, role: string, where: string, pages: string];
    readonly places: Readonly<Record<RoleKind, { readonly name: string; readonly where: string }>>;
    range(first: number, last: number): string;
    readonly sheetWhere: string;
    readonly caution: string;
    readonly drawing: {
      readonly board: string;
      readonly stand: string;
      readonly lengthBar: string;
    };
  };
}
