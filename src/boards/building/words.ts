/** What the pages on building say, per language: sections of text, parts lists and drawings. */
export const drawingNames = [
  "armPlate",
  "clawPlate",
  "offset",
  "floorAndStand",
  "bar",
  "around",
] as const;
export type DrawingName = (typeof drawingNames)[number];

export interface BuildingSection {
  readonly title: string;
  readonly drawing?: DrawingName;
  readonly paragraphs: readonly string[];
  /** Letter as in the drawing, what it is, how many. */
  readonly parts?: readonly (readonly [letter: string, what: string, count: string])[];
  /** Above the list of parts, where it is not one of parts. */
  readonly partsTitle?: string;
  /** What is seen, in bold, and what to do about it. */
  readonly pairs?: readonly (readonly [seen: string, what: string])[];
  /** Begins a new page on paper. */
  readonly newPage?: boolean;
}

/** Pages of the same make that have no drawings of their own. */
export type LeafletWords = Omit<BuildingWords, "labels" | "partsTitle">;

export interface BuildingWords {
  readonly title: string;
  readonly intro: string;
  readonly caution: string;
  readonly partsTitle: string;
  page(page: number, pages: number): string;
  readonly labels: {
    readonly fromOutside: string;
    readonly section: string;
    readonly offset: string;
    readonly sameReading: string;
    readonly fromAboveCut: string;
    readonly straightEdge: string;
    readonly printedFace: string;
    readonly left: string;
    readonly right: string;
    readonly floorBoard: string;
    readonly standBoard: string;
    readonly target: string;
    readonly rigid: string;
    readonly centreToCentre: string;
    readonly asLong: string;
    readonly front: string;
    readonly asTheSheet: string;
  };
  readonly sections: readonly BuildingSection[];
}
