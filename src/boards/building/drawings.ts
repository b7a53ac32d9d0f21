/**
 * The drawings of wheel plates, floor boards, stand boards and length bar: this project's own, from
 * parts that any hardware shop has. Wheels are drawn as thin outlines: they differ.
 */
import {
  across,
  board,
  box,
  circle,
  type Drawing,
  leader,
  line,
  type Mark,
  text,
  upright,
} from "./marks.ts";
import type { BuildingWords, DrawingName } from "./words.ts";

type Labels = BuildingWords["labels"];

/** A wheel cut through its middle: tyre, rim, hub; `x` is the rim's outer plane. */
const wheelSection = (x: number, y: number): Mark[] => [
  box("phantom", x - 26, y - 40, 24, 12),
  box("phantom", x - 26, y + 28, 24, 12),
  line("phantom", x - 26, y - 28, x, y - 26, x, y - 22, x - 14, y - 18, x - 14, y + 18, x, y + 22),
  line("phantom", x, y + 22, x, y + 26, x - 26, y + 28),
  line("centre", x - 32, y, x + 44, y),
];

/** Three arms at 120 degrees with feet on the rim, a cone in the hub bore; scale 1 : 5. */
function armPlate(labels: Labels): Drawing {
  const [cx, cy] = [48, 50];
  const arm = 44;
  const ends = [-90, 30, 150].map((angle) => {
    const turn = (angle * Math.PI) / 180;
    return [Math.cos(turn), Math.sin(turn)] as const;
  });
  const arms = ends.flatMap(([dx, dy]): Mark[] => {
    const [nx, ny] = [-dy * 2, dx * 2];
    return [
      line(
        "visible",
        ...[cx + 8 * dx + nx, cy + 8 * dy + ny, cx + arm * dx + nx, cy + arm * dy + ny],
        ...[cx + arm * dx - nx, cy + arm * dy - ny, cx + 8 * dx - nx, cy + 8 * dy - ny],
      ),
      line("thin", cx + 26 * dx, cy + 26 * dy, cx + 42 * dx, cy + 42 * dy),
      circle("visible", cx + 38 * dx, cy + 38 * dy, 1.6),
    ];
  });
  const x = 128;
  return {
    widthMm: 180,
    heightMm: 108,
    marks: [
      text(labels.fromOutside, 2, 5),
      circle("phantom", cx, cy, 40),
      ...arms,
      box("visible", cx - 22, cy - 30, 44, 54),
      ...board(cx, cy, 41.6),
      line("centre", cx, 2, cx, 98, cx, 98),
      line("centre", 2, cy, 94, cy),
      ...across(cx - 22, cx + 22, 92, "220"),
      ...upright(cy - 30, cy + 24, 6, "270", "right"),
      ...leader("A", 84, 14, cx + 22, cy - 24),
      ...leader("B", 90, 84, cx + 34, cy + 20),
      ...leader("C", 22, 88, cx - 33, cy + 19),
      text(labels.section, 102, 5),
      ...wheelSection(x, cy),
      box("visible", x + 10, cy - 34, 4, 68),
      box("visible", x, cy - 25, 10, 1.6),
      box("visible", x, cy + 23.4, 10, 1.6),
      line("visible", x + 14, cy - 1, x + 20, cy - 1, x + 20, cy + 1, x + 14, cy + 1),
      box("visible", x + 20, cy - 30, 1.2, 54),
      line("visible", x + 10, cy - 3, x - 8, cy - 1.4, x - 8, cy + 1.4, x + 10, cy + 3),
      ...leader("D", 108, 96, x - 6, cy + 1),
      ...leader("E", 166, 88, x + 17, cy + 1),
      line("asked", x, cy - 44, x + 21.2, cy - 44),
      line("asked", x, cy - 46, x, cy - 28),
      line("asked", x + 21.2, cy - 46, x + 21.2, cy - 31),
      text(labels.offset, x + 23, cy - 43, "left", true),
    ],
  };
}

/** A bar with sliding claws on the rim's edge, all set to the same reading; scale 1 : 5. */
function clawPlate(labels: Labels): Drawing {
  const [cx, cy] = [54, 52];
  const reach = 41;
  const claw = (x: number, y: number): Mark[] => [
    box("visible", x - 2.4, y - 2.4, 4.8, 4.8),
    circle("thin", x, y, 1),
  ];
  const marksOn = Array.from({ length: 9 }, (_, at) => 22 + 2.5 * at);
  const x = 138;
  return {
    widthMm: 180,
    heightMm: 112,
    marks: [
      text(labels.fromOutside, 2, 5),
      circle("phantom", cx, cy, reach),
      box("visible", cx - 47, cy - 2.5, 94, 5),
      box("visible", cx - 2.5, cy - 47, 5, 44.5),
      ...claw(cx - reach, cy),
      ...claw(cx + reach, cy),
      ...claw(cx, cy - reach),
      ...marksOn.flatMap((at) => [
        line("thin", cx + at, cy - 2.5, cx + at, cy - 1),
        line("thin", cx - at, cy - 2.5, cx - at, cy - 1),
      ]),
      box("visible", cx - 22, cy - 30, 44, 54),
      ...board(cx, cy, 41.6),
      line("centre", cx, 2, cx, 100),
      line("centre", 2, cy, 106, cy),
      ...across(cx - 47, cx + 47, 98, "470"),
      ...across(cx, cx + reach, 90, labels.sameReading),
      ...leader("A", 92, 14, cx + 22, cy - 24),
      ...leader("F", 12, 84, cx - 42, cy + 2.5),
      ...leader("G", 98, 74, cx + reach, cy + 2.4),
      text(labels.section, 112, 5),
      ...wheelSection(x, cy),
      box("visible", x + 8, cy - 46, 5, 60),
      line(
        "visible",
        x + 8,
        cy - 43,
        x - 2,
        cy - 43,
        x - 2,
        cy - 39,
        x - 1,
        cy - 39,
        x - 1,
        cy - 41.4,
      ),
      line("visible", x - 1, cy - 41.4, x + 8, cy - 41.4),
      line("visible", x + 13, cy - 8, x + 19, cy - 8, x + 19, cy - 6, x + 13, cy - 6),
      line("visible", x + 13, cy + 6, x + 19, cy + 6, x + 19, cy + 8, x + 13, cy + 8),
      box("visible", x + 19, cy - 30, 1.2, 54),
      ...leader("H", 122, 88, x - 1.5, cy - 39.5),
      ...leader("E", 170, 92, x + 16, cy + 7),
      line("asked", x, cy + 36, x + 20.2, cy + 36),
      line("asked", x, cy + 30, x, cy + 38),
      line("asked", x + 20.2, cy + 25, x + 20.2, cy + 38),
      text(labels.offset, x + 10, cy + 42, "centre", true),
    ],
  };
}

/** How the offset is measured: a straight edge over the rim, a gauge down to it at both sides. */
function offset(labels: Labels): Drawing {
  const y = 34;
  return {
    widthMm: 180,
    heightMm: 62,
    marks: [
      text(labels.fromAboveCut, 2, 5),
      line("phantom", 30, y, 40, y, 46, y - 6, 134, y - 6, 140, y, 150, y),
      box("phantom", 26, y - 22, 14, 22),
      box("phantom", 140, y - 22, 14, 22),
      box("visible", 22, y, 136, 3),
      text(labels.straightEdge, 160, y + 3),
      box("visible", 68, y + 18, 44, 1.4),
      text(labels.printedFace, 90, y + 25, "centre"),
      line("centre", 90, y - 16, 90, y + 28),
      ...upright(y + 0, y + 19.4, 62, labels.left, "left"),
      ...upright(y + 0, y + 19.4, 118, labels.right, "right"),
    ],
  };
}

function floorAndStand(labels: Labels): Drawing {
  return {
    widthMm: 180,
    heightMm: 80,
    marks: [
      text(labels.floorBoard, 2, 5, "left", true),
      ...board(36, 34, 42),
      box("visible", 10, 8, 52, 52),
      ...across(10, 62, 66, "≥ 225"),
      box("visible", 10, 70, 52, 1.2),
      line("visible", 4, 73.4, 68, 73.4),
      circle("visible", 14, 72.3, 1),
      circle("visible", 58, 72.3, 1),
      ...leader("J", 76, 62, 59, 72),
      text(labels.standBoard, 96, 5, "left", true),
      box("visible", 112, 12, 52, 42),
      text(labels.target, 138, 34, "centre"),
      ...board(104.5, 33, 13),
      ...board(171.5, 33, 13),
      line("visible", 111, 33, 112, 33),
      line("visible", 164, 33, 165, 33),
      line("visible", 136, 54, 136, 70, 124, 73, 152, 73, 140, 70, 140, 54),
      ...leader("K", 96, 54, 111.5, 34),
      text(labels.rigid, 138, 78.5, "centre"),
    ],
  };
}

function bar(labels: Labels): Drawing {
  const y = 26;
  return {
    widthMm: 180,
    heightMm: 50,
    marks: [
      box("visible", 8, y - 2, 164, 4),
      ...board(22, y, 21),
      ...board(158, y, 21),
      text("51", 22, y + 16, "centre", true),
      text("52", 158, y + 16, "centre", true),
      ...across(22, 158, y - 16, labels.centreToCentre),
      ...leader("L", 90, y + 14, 90, y + 2),
      text(labels.asLong, 90, y + 22, "centre"),
    ],
  };
}

/** Where the boards lie around the car, seen from above, its front to the right. */
function around(labels: Labels): Drawing {
  const y = 40;
  const floor = (x: number, at: number, id: string): Mark[] => [
    ...board(x, at, 6),
    text(id, x, at - 4.4, "centre"),
  ];
  return {
    widthMm: 180,
    heightMm: 84,
    marks: [
      line(
        "phantom",
        12,
        y - 16,
        78,
        y - 16,
        88,
        y - 8,
        88,
        y + 8,
        78,
        y + 16,
        12,
        y + 16,
        12,
        y - 16,
      ),
      line("centre", 4, y, 176, y),
      ...[24, 68].flatMap((x) => [
        box("visible", x - 5, y - 18, 10, 3.4),
        box("visible", x - 5, y + 14.6, 10, 3.4),
      ]),
      text("3", 24, y - 20, "centre"),
      text("4", 24, y + 23, "centre"),
      text("1", 68, y - 20, "centre"),
      text("2", 68, y + 23, "centre"),
      text(labels.front, 91, y + 1.2),
      ...floor(46, 10, "11"),
      ...floor(46, 70, "12"),
      ...floor(94, 16, "13"),
      ...floor(94, 64, "14"),
      ...floor(124, 20, "15"),
      ...floor(124, 60, "16"),
      line("visible", 156, y - 12, 156, y + 12),
      ...board(156, y - 14, 5),
      ...board(156, y + 14, 5),
      text("32", 161, y - 13),
      text("31", 161, y + 15),
      text(labels.target, 161, y + 1.2),
      ...across(68, 156, 78, labels.asTheSheet),
    ],
  };
}

const makers: Readonly<Record<DrawingName, (labels: Labels) => Drawing>> = {
  ...{ armPlate, clawPlate, offset, floorAndStand, bar, around },
};

export const drawingOf = (name: DrawingName, words: BuildingWords): Drawing =>
  makers[name](words.labels);
