import { trueChecks } from "../tools/phone/bay.ts";
import {
  carMoved,
  changed,
  everywhere,
  findings,
  from,
  nameOf,
  shifted,
  stand,
  wheels,
  withoutBoards,
} from "./change.ts";
import type { Case, Fault, RawJob } from "./fault.ts";
import { ofBody, ofPhotos, ofStatement } from "./naming.ts";

const checksOf = ({ job }: Case): RawJob[] => job.placement.steps[0].checks;

/** Faults of what a person types, chooses and leaves out. */
export const peopleFaults: readonly Fault[] = [
  {
    name: "length-in-inches",
    family: "people",
    how: "a measured length typed in inches",
    said: ["job-input", ...ofStatement("length reference")],
    guilty: [],
    never: "everything scaled by 25",
    strengths: [25.4],
    written: ({ job }, factor) => {
      job.lengths[0].lengthMm /= factor;
    },
  },
  {
    name: "length-of-other-boards",
    family: "people",
    how: "a measured length entered for other boards than it was measured between",
    said: ofStatement("length reference"),
    guilty: [],
    never: "everything stretched to it",
    strengths: [1],
    written: ({ job }) => {
      job.lengths[0].to = 13;
    },
  },
  {
    name: "bar-in-other-unit",
    family: "people",
    how: "the print check typed in another unit: 25.4 = inches, 10 = centimetres",
    said: ["print-reading"],
    never: "boards of another size",
    strengths: [25.4, 10],
    written: ({ job }, factor) => {
      job.boards.printCheck.horizontal.readingMm /= factor;
      job.boards.printCheck.vertical.readingMm /= factor;
    },
  },
  {
    name: "required-in-inches",
    family: "people",
    how: "the sheet's distance typed in inches",
    said: ["sheet-unit", "required-other-unit"],
    never: "all meet",
    strengths: [25.4],
    written: (job, factor) => {
      checksOf(job)[0].required = Math.round((10 * checksOf(job)[0].required) / factor) / 10;
    },
  },
  {
    name: "tolerance-slip",
    family: "people",
    how: "a tolerance typed so many times too wide",
    said: ["sheet-tolerance-size"],
    never: "a wide tolerance without a question",
    strengths: [100],
    written: (job, factor) => {
      checksOf(job)[0].upperDeviation *= factor;
      checksOf(job)[0].lowerDeviation *= factor;
    },
  },
  {
    name: "sign-of-a-tolerance",
    family: "people",
    how: "lower deviation typed without its sign",
    said: ["sheet-lower-above-upper", "sheet-required-outside", "sheet-no-width"],
    never: "a target judged by a turned tolerance",
    strengths: [1, 2],
    written: (job, kind) => {
      checksOf(job)[1].lowerDeviation = kind === 1 ? 20 : 5;
    },
  },
  {
    name: "angle-as-length",
    family: "people",
    how: "a yaw typed as a length in mm",
    said: ["sheet-angle-size"],
    never: "all meet",
    strengths: [1500],
    written: (job, value) => {
      checksOf(job)[3].required = value;
    },
  },
  {
    name: "wrong-sheet",
    family: "people",
    how: "the sheet of another job: it asks for another target",
    said: ["target-other-name", "target-missing"],
    never: "all meet for another target",
    neverConfident: true,
    strengths: [1],
    written: ({ job }) => {
      job.placement.steps[0].target.name = "radar reflector";
    },
  },
  {
    name: "invented-sheet",
    family: "people",
    how: "an example sheet used on a real car",
    said: ["sheet-invented"],
    never: "all meet",
    neverConfident: true,
    strengths: [1],
    written: ({ job }) => {
      job.invented = false;
    },
  },
  {
    name: "target-boards-mixed-up",
    family: "people",
    how: "the two stand boards taught the wrong way round",
    said: [...ofStatement("target offset"), "target-turned-over"],
    guilty: stand,
    never: "a target facing away",
    strengths: [1],
    written: ({ job }) => {
      const [a, b] = job.targets[0].boards;
      [a.board, b.board] = [b.board, a.board];
    },
  },
  {
    name: "one-board-taught-wrongly",
    family: "people",
    how: "one of two stand boards taught so many mm off",
    said: ofStatement("target offset", 31, 32),
    guilty: stand,
    never: "a target between the two",
    strengths: [4, 30],
    written: ({ job }, mm) => {
      job.targets[0].boards[0].centreMm[0] += mm;
    },
  },
  {
    name: "wrong-origin",
    family: "people",
    how: "the sheet counts from a dropped point that nobody dropped",
    said: ["origin-missing"],
    never: "another origin taken instead",
    strengths: [1],
    written: ({ job }) => {
      job.placement.origin = { kind: "dropped point", name: "bumper centre" };
    },
  },
  {
    name: "no-such-step",
    family: "people",
    how: "a step that the sheet does not have",
    said: ["no-such-step"],
    never: "another step judged",
    strengths: [1],
    written: ({ job }) => {
      job.step = "rear radar";
    },
  },
  {
    name: "half-a-job",
    family: "people",
    how: "no photo shows: 1 = the stand, 2 = a rear wheel, 3 = more than two floor boards",
    said: ["stand-unseen", "wheels-unseen", "floor-boards-few"],
    never: "a verdict on what was not seen",
    strengths: [1, 2, 3],
    found: (job, what) => {
      const unseen = [[31, 32], [4], [13, 14, 15, 16, 17, 18, 19, 20, 21, 22]][what - 1];
      findings(job, "all", (photo) => withoutBoards(photo, unseen));
    },
  },
  {
    name: "few-photos",
    family: "people",
    how: "so many photos of the bay only",
    said: [
      "too-few-photos",
      "not-connected",
      "stand-unseen",
      "wheels-unseen",
      "floor-boards-few",
      "one-place",
    ],
    never: "a verdict from photos that check nothing",
    strengths: [1, 2, 4],
    found: (job, count) => {
      job.photos = job.photos.slice(10, 10 + count);
    },
  },
  {
    name: "second-position-forgotten",
    family: "people",
    how: "the procedure asks for a second position of the car, and there is none",
    said: ["second-position-asked"],
    guilty: [],
    never: "all meet",
    neverConfident: true,
    strengths: [1],
    written: ({ job }) => {
      job.placement.secondPosition = true;
    },
  },
  {
    name: "one-position-listed",
    family: "people",
    how: "the photos of the second position are listed, those of the first are not",
    said: ["position-photos-unlisted"],
    never: "two places of the car mixed",
    neverConfident: true,
    strengths: [900],
    taking: (job, mm) => from(job, 8, (bay) => carMoved(bay, { q: [1, 0, 0, 0], p: [-mm, 0, 0] })),
    written: (job) => {
      const photos = job.photos.slice(8).map(nameOf);
      job.job.positions = [{ name: "rolled", kind: "rolled", photos }];
    },
  },
  {
    name: "positions-not-listed",
    family: "people",
    how: "the car was rolled by so many mm for a second position, and nobody told the job",
    said: ofBody("car", ...wheels),
    guilty: wheels,
    never: "two places of the car mixed",
    strengths: [300, 900],
    taking: (job, mm) => {
      from(job, 8, (bay) => carMoved(bay, { q: [1, 0, 0, 0], p: [-mm, 0, 0] }));
      job.truth = trueChecks(job.scenes[15].bay);
    },
  },
  {
    name: "set-up-not-listed",
    family: "people",
    how: "the stand was moved by so many mm as shown and photographed again, and nobody told the job",
    said: ofBody("stand", ...stand),
    guilty: stand,
    never: "a target between both set-ups",
    strengths: [20, 300],
    taking: (job, mm) => {
      from(job, 11, (bay) => {
        const { q, p } = bay.worldFromTarget;
        const boards = changed(bay, [31, 32], (board) => shifted(board, [0, mm, 0])).boards;
        return { ...bay, boards, worldFromTarget: { q, p: [p[0], p[1] + mm, p[2]] } };
      });
      // The car stands turned in the bay: what is moved along the bay goes ahead or back a little, too.
      job.truth = trueChecks(job.scenes[15].bay);
    },
  },
  {
    name: "photos-of-another-car",
    family: "people",
    how: "three photos of yesterday's bay among today's, its boards elsewhere by up to so many mm",
    said: ["board-two-places", ...ofPhotos(0, 1, 2)],
    never: "two bays mixed",
    strengths: [40, 400],
    taking: (job, mm) => {
      for (const scene of job.scenes.slice(0, 3))
        scene.bay = {
          ...scene.bay,
          boards: scene.bay.boards.map((board) =>
            shifted(board, [job.chance.even(-mm, mm), job.chance.even(-mm, mm), 0]),
          ),
        };
    },
  },
  {
    name: "name-misspelt",
    family: "people",
    how: "job.json names a photo after the run that is not there",
    said: ["photos-missing"],
    never: "the real photo counted before the run",
    strengths: [1],
    written: ({ job }) => {
      job.after = { photos: ["affter-01.jpg"] };
    },
  },
  {
    name: "tape-disagrees",
    family: "people",
    how: "the distance by tape, so many mm off, typed as a reading",
    said: ["reading-disagrees"],
    never: "all meet beside it without a word",
    strengths: [8, 60],
    written: (job, mm) => {
      job.job.readings = [
        { check: "ahead", value: job.truth.aheadMm + mm, expanded: 3, by: "tape" },
      ];
    },
  },
  {
    name: "wheel-board-as-floor-board",
    family: "people",
    how: "a floor board of the kit fixed to a wheel whose board was lost, and nobody told the job",
    said: ["wheels-unseen"],
    never: "a floor through the wheel",
    strengths: [1],
    taking: (job) =>
      everywhere(job, (bay) => {
        const wheel = bay.boards.find(({ id }) => id === 2)!;
        const boards = bay.boards.filter(({ id }) => id !== 13 && id !== 2);
        return { ...bay, boards: [...boards, { ...wheel, id: 13 }] };
      }),
  },
  {
    name: "field-misspelt",
    family: "people",
    how: "a field of job.json that does not exist",
    said: ["job-input"],
    never: "the entry dropped without a word",
    strengths: [1],
    written: ({ job }) => {
      job.lenghts = job.lengths;
    },
  },
];
