import { roleWords } from "../kit.ts";
import type { KitWords } from "./kit-words.ts";

export const kitWordsEn: KitWords = {
  language: "en",
  title: "Plumbshot kit",
  subject: "Boards and camera sheet to print at 100 %",
  safety:
    "The vehicle maker's procedure governs. This print helps to measure; it certifies no calibration.",
  upMark: "This way up",
  cut: "cut",
  cameraSheet: "Camera sheet",
  role: roleWords,
  usage: {
    "wheel plate": "Centre of the board on the centre of the plate, facing outward.",
    "floor point": "Flat on the floor, face up. The centre of the board is the point.",
    stand: "Fixed to the stand or target so that it cannot move against it.",
    pointer: "Cut at the upper line. The end of the tick is the tip: hold it on the point.",
    "length bar": "One end of a stiff bar. Its length counts from board centre to board centre.",
  },
  barAcross: (length) => `Check bar, across: ${length} from tick to tick`,
  barUp: (length) => `Check bar, up: ${length} from tick to tick`,
  barUpToLower: (length) => `Check bar, up: ${length} to the lower tick`,
  page: (paper, page, pages) => `Plumbshot kit ${paper}, page ${page} of ${pages}`,
  fullSize: "Print at 100 %.",
  cell: (cellMm, ringMm) => `Cell ${cellMm} mm, ring ${ringMm} x ${ringMm} mm, edge to edge`,
  tag: (id) => `Tag 36h11, id ${id}`,
  sheetWhat: (squareMm, markerMm, first, last) =>
    `Square (cell) ${squareMm} mm, marker ${markerMm} mm, tags 36h11, ids ${first} to ${last}`,
  cover: {
    heading: "Boards to print",
    print: "1  Print",
    measure: "2  Measure the print",
    glue: "3  Glue it flat",
    where: "4  What goes where",
    printWords:
      "At 100 % (actual size), never fitted to the page; one side, black, on plain matt paper of " +
      "100 g/m² or more. No gloss and no film over it: reflections hide the pattern.",
    first: (pages) =>
      `To begin with, print pages ${pages}; the others when they are needed. To teach a target, ` +
      "print the pointers 41 to 43 as well.",
    largeCells: (cellMm, usualMm) =>
      `Large boards: cell ${cellMm} mm, not ${usualMm} mm as in the kit on A4 and Letter. The job ` +
      "must name the cell size of every large board.",
    measureWords: (across, up) =>
      "Once per printer and paper: lay a steel rule on a board page and read both check bars, middle " +
      `of tick to middle of tick. The bar across is ${across}. The bar up is ${up}: its ` +
      "two ticks stand above and below the board, the rule lies across the pattern. Type both " +
      "readings into the print check. A print that is 0.5 % off and goes unnoticed moves a distance " +
      "of 4 m by 20 mm.",
    glueWords: (marginMm) =>
      "Glue each page without bubbles onto something stiff and flat: aluminium composite, glass, " +
      "thick smooth board. A straight edge across it should show no gap above 0.5 mm. Leave the white " +
      `margin (${marginMm} mm around the pattern) free of tape, clips and writing. Small plates: ` +
      "cut at the marks, no closer. The centre lines are the ticks above and below the board; at its " +
      "left and right edge, the joint between the 7th and the 8th cell.",
    acrossReads: (length) => `${length} across reads`,
    upReads: (length) => `${length} up reads`,
    columns: ["Ids", "Role", "Where", "Pages"],
    places: {
      "wheel plate": {
        name: "Wheel plates",
        where: "One on each wheel's plate, board centre on plate centre, facing outward.",
      },
      "floor point": {
        name: "Floor points",
        where: "At least six, flat on the floor around the car and up to the stand.",
      },
      stand: {
        name: "Stand and target",
        where:
          "At least two, fixed to the stand or the target so that they cannot move against it.",
      },
      pointer: {
        name: "Pointers",
        where:
          "Cut at the upper line: the tick's end is the tip. Hold it on a point for one photo.",
      },
      "length bar": {
        name: "Length bar ends",
        where: "51 and 52 on one stiff bar, as long as the bay allows; measure centre to centre.",
      },
    },
    range: (first, last) => `${first} to ${last}`,
    sheetWhere: "Once per phone: lay it flat and photograph it from all sides.",
    caution:
      "The vehicle maker's procedure and the rules of the place govern, always. These boards help to " +
      "measure where things stand; they certify no calibration. Use every id only once in a bay. " +
      "Chock the wheels; never work under a car held by a jack alone.",
    drawing: { board: "board", stand: "stand", lengthBar: "length bar" },
  },
};
