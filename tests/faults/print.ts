import {
  all,
  changed,
  everywhere,
  findings,
  scaled,
  showing,
  stand,
  withoutBoards,
} from "./change.ts";
import type { Fault } from "./fault.ts";
import { type Name, ofBoards, ofStatement, shared } from "./naming.ts";

/** The size of these prints is what is wrong. */
const sizeOf = (...ids: readonly number[]): Name[] => [
  ...ids.map((id): Name => ({ code: "board-scaled", values: { board: String(id) } })),
  ...ids.map((id): Name => ({ code: "boards-of-two-prints", values: { boards: String(id) } })),
  ...ofStatement("print scale", ...ids),
  ...shared("print"),
];

/** Faults of paper and printer. */
export const printFaults: readonly Fault[] = [
  {
    name: "print-scaled",
    family: "print",
    how: "all boards printed at this scale, the ruler reads it",
    said: ["print-scaled"],
    guilty: [],
    never: "a distance off by the scale",
    strengths: [1.005, 0.985, 0.97],
    taking: (job, scale) => everywhere(job, (bay) => changed(bay, all, (b) => scaled(b, scale))),
    written: ({ job }, scale) => {
      job.boards.printCheck.horizontal.readingMm *= scale;
      job.boards.printCheck.vertical.readingMm *= scale;
    },
  },
  {
    name: "print-scaled-unread",
    family: "print",
    how: "all boards printed at this scale, nobody held a ruler to them, no length was measured",
    said: ["print-unchecked"],
    never: "an interval that is sure of the scale",
    strengths: [0.997, 1.008],
    taking: (job, scale) => everywhere(job, (bay) => changed(bay, all, (b) => scaled(b, scale))),
    written: ({ job }) => {
      delete job.boards.printCheck;
      job.lengths = [];
    },
  },
  {
    name: "print-misread",
    family: "print",
    how: "all boards printed at this scale, and 200 mm typed from memory",
    said: [...ofStatement("length reference"), ...ofStatement("print scale"), ...shared("print")],
    guilty: all,
    never: "a distance off by the scale",
    strengths: [0.99, 0.97],
    taking: (job, scale) => everywhere(job, (bay) => changed(bay, all, (b) => scaled(b, scale))),
  },
  {
    name: "print-stretched",
    family: "print",
    how: "all boards wider than tall by this factor, both bars read",
    said: ["print-stretched"],
    never: "a height or distance off by the stretch",
    strengths: [1.0025, 1.005, 1.01],
    taking: (job, stretch) =>
      everywhere(job, (bay) => changed(bay, all, (b) => scaled(b, stretch, 1))),
    written: ({ job }, stretch) => {
      job.boards.printCheck.horizontal.readingMm *= stretch;
    },
  },
  {
    name: "print-stretched-unread",
    family: "print",
    how: "all boards wider than tall by this factor, no bar read",
    said: ["print-unchecked", ...shared("print")],
    never: "a height or distance off by the stretch",
    strengths: [1.0025, 1.01],
    taking: (job, stretch) =>
      everywhere(job, (bay) => changed(bay, all, (b) => scaled(b, stretch, 1))),
    written: ({ job }) => {
      delete job.boards.printCheck;
    },
  },
  {
    name: "bar-read-swapped",
    family: "print",
    how: "the width of the page typed as its height and the other way, with bars of 200 and 250 mm",
    said: ["print-reading"],
    never: "a scale from swapped readings",
    strengths: [1],
    written: ({ job }) => {
      job.boards.printCheck.horizontal = { nominalMm: 200, readingMm: 250 };
      job.boards.printCheck.vertical = { nominalMm: 250, readingMm: 200 };
    },
  },
  {
    name: "mirrored-print",
    family: "print",
    how: "a wheel board printed with the printer's mirror setting: found, not readable",
    said: ["mirrored-print", "wheels-unseen"],
    never: "a car without that wheel",
    strengths: [1],
    found: (job) => {
      for (const i of showing(job, [1]))
        findings(job, [i], (photo) => ({
          ...withoutBoards(photo, [1]),
          remarks: [
            {
              code: "mirrored-print",
              severity: "error",
              message: `${photo.name}: The print of board 1 (wheel plate, front left) is a mirror image; it cannot be used.`,
              remedy: "Print the page again without the printer's mirror or iron-on setting.",
              values: { board: 1 },
              about: "board 1",
            },
          ],
        }));
    },
  },
  {
    name: "glossy",
    family: "print",
    how: "glossy paper mirrors a lamp: half of a board's points pulled aside by so many px in 3 photos",
    said: ofBoards(31),
    guilty: [31],
    never: "another board blamed",
    strengths: [0.2, 1, 3],
    found: (job, px) => {
      for (const i of showing(job, [31]).slice(0, 3))
        findings(job, [i], (photo) => ({
          ...photo,
          boards: photo.boards.map((view) =>
            view.id === 31
              ? { ...view, pixels: view.pixels.map((v, k) => (k < 16 ? v + px : v)) }
              : view,
          ),
        }));
    },
  },
  {
    name: "bent-board",
    family: "print",
    how: "a wheel board curled to a cylinder, bulge over its width in mm",
    said: [...ofBoards(2), ...ofStatement("board flatness", 2)],
    guilty: [2],
    never: "a wheel off by the bulge",
    strengths: [0.4, 1.5, 4],
    taking: (job, bulge) =>
      everywhere(job, (bay) =>
        changed(bay, [2], (b) => ({ ...b, curvature: (8 * bulge) / 182 ** 2, bendAngle: 0.4 })),
      ),
  },
  {
    name: "torn-board",
    family: "print",
    how: "this share of a stand board's points is torn off in every photo",
    said: ["stand-unseen"],
    never: "a wrong place from what is left",
    strengths: [0.3, 0.6],
    found: (job, share) =>
      findings(job, "all", (photo) => ({
        ...photo,
        boards: photo.boards.map((view) => {
          if (view.id !== 32) return view;
          const kept = 2 * Math.round((1 - share) * (view.pixels.length / 2));
          return {
            ...view,
            boardPoints: view.boardPoints.slice(0, kept),
            pixels: view.pixels.slice(0, kept),
          };
        }),
      })),
  },
  {
    name: "wrong-paper",
    family: "print",
    how: "one floor board printed for another paper size, at this scale",
    said: sizeOf(14),
    guilty: [14],
    never: "the others stretched to fit it",
    strengths: [0.94, 1.06],
    taking: (job, scale) => everywhere(job, (bay) => changed(bay, [14], (b) => scaled(b, scale))),
  },
  {
    name: "old-and-new-kit",
    family: "print",
    how: "three boards from an earlier print at this scale among the new ones",
    said: sizeOf(13, 2, 17),
    guilty: [13, 2, 17],
    never: "a distance off by their scale",
    strengths: [0.999, 0.995, 0.985],
    taking: (job, scale) =>
      everywhere(job, (bay) => changed(bay, [13, 2, 17], (b) => scaled(b, scale))),
  },
  {
    name: "two-printers",
    family: "print",
    how: "the stand's boards come from another printer, at this scale",
    said: sizeOf(31, 32),
    guilty: [31, 32],
    never: "a target off by their scale",
    strengths: [0.997, 1.008],
    taking: (job, scale) => everywhere(job, (bay) => changed(bay, stand, (b) => scaled(b, scale))),
  },
  {
    name: "large-boards-unread",
    family: "print",
    how: "two large boards of 18 mm cells, printed at this scale; the print check was read on a small page",
    said: ["print-check-elsewhere", ...sizeOf(21, 22)],
    guilty: [21, 22],
    never: "large boards scaled by the small page's reading without a word",
    strengths: [0.995, 1.01],
    taking: (job, scale) =>
      everywhere(job, (bay) => changed(bay, [21, 22], (b) => scaled(b, (scale * 18) / 13))),
    written: ({ job }) => {
      job.boards.exceptions = [21, 22].map((id) => ({ id, cellMm: 18 }));
    },
  },
];
