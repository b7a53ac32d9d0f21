import { trueChecks, withStandMoved } from "../tools/phone/bay.ts";
import { inverse, rad, turn } from "../tools/phone/maths.ts";
import {
  carMoved,
  changed,
  everywhere,
  findings,
  from,
  shifted,
  showing,
  stand,
  steered,
  turned,
  wheels,
} from "./change.ts";
import type { Case, Fault } from "./fault.ts";
import { ofBoards, ofBody, ofStatement } from "./naming.ts";

/** The bay after the run: the same six photos, taken again. */
const after = (job: Case): void => {
  const { after: shots } = job.session;
  job.afterScenes = shots.map((shot) => ({ shot, bay: job.session.bay }));
  job.job.after = { photos: shots.map(({ name }) => name) };
};

/** Faults of boards, car, stand and tape. */
export const bayFaults: readonly Fault[] = [
  {
    name: "floor-board-moved",
    family: "bay",
    how: "a floor board moved by so many mm after half of the photos",
    said: ofBoards(11),
    guilty: [11],
    never: "an average of both places in any number",
    strengths: [3, 20, 80],
    taking: (job, mm) =>
      from(job, 8, (bay) => changed(bay, [11], (b) => shifted(b, [0.6 * mm, 0.8 * mm, 0]))),
  },
  {
    name: "floor-board-kicked",
    family: "bay",
    how: "a floor board lies so many mm aside in one photo",
    said: ofBoards(11),
    guilty: [11],
    never: "another board blamed",
    strengths: [5, 60],
    taking: (job, mm) => {
      const scene = job.scenes[11];
      scene.bay = changed(scene.bay, [11], (b) => shifted(b, [mm, 0, 0]));
    },
  },
  {
    name: "same-id-twice",
    family: "bay",
    how: "a second print of a floor board lies so many mm away, seen in a third of the photos",
    said: ["board-two-places", "same-board-twice"],
    guilty: [12],
    never: "the photo of an innocent board blamed",
    strengths: [400, 1500, 3500],
    taking: (job, mm) => {
      for (const [i, scene] of job.scenes.entries())
        if (i % 3 === 1)
          scene.bay = changed(scene.bay, [12], (b) => shifted(b, [-0.2 * mm, 0.98 * mm, 0]));
    },
  },
  {
    name: "wheel-id-twice",
    family: "bay",
    how: "a spare print of a wheel board leans so many mm behind the wheel, seen in a third of the photos",
    said: ["board-two-places", "same-board-twice"],
    guilty: [1],
    never: "a wheel at the spare's place",
    strengths: [600, 2000],
    taking: (job, mm) => {
      for (const [i, scene] of job.scenes.entries())
        if (i % 3 === 0) scene.bay = changed(scene.bay, [1], (b) => shifted(b, [-mm, 200, 0]));
    },
  },
  {
    name: "two-prints-in-one-photo",
    family: "bay",
    how: "both prints of one id in one photo: it is left out there, all others show one of the two",
    said: ["same-board-twice", "board-two-places"],
    guilty: [12],
    never: "one of the two taken for the other",
    strengths: [1],
    found: (job) => {
      const [first] = showing(job, [12]);
      findings(job, [first], (photo) => ({
        ...photo,
        boards: photo.boards.filter(({ id }) => id !== 12),
        remarks: [
          {
            code: "same-board-twice",
            values: { board: 12, times: 2 },
            severity: "warning",
            message: `${photo.name}: This photo shows board 12 (floor point 2) 2 times; it was left out.`,
            remedy: "Print every board once and put each in one place, then take the photo again.",
            about: "board 12",
          },
        ],
      }));
    },
  },
  {
    name: "car-moved",
    family: "bay",
    how: "the car rolled back by so many mm after half of the photos",
    said: ofBody("car", ...wheels),
    guilty: wheels,
    never: "a car between its two places",
    strengths: [4, 25, 150],
    taking: (job, mm) => {
      from(job, 8, (bay) => carMoved(bay, { q: [1, 0, 0, 0], p: [-mm, 0, 0] }));
      job.truth = trueChecks(job.scenes[15].bay);
    },
  },
  {
    name: "car-settled",
    family: "bay",
    how: "somebody got in: the car sank by so many mm after half of the photos",
    said: ofBody("car", ...wheels),
    guilty: wheels,
    never: "a car between its two heights",
    strengths: [6, 25],
    taking: (job, mm) => from(job, 8, (bay) => carMoved(bay, { q: [1, 0, 0, 0], p: [0, 0, -mm] })),
  },
  {
    name: "wheel-turned",
    family: "bay",
    how: "the steering was turned by so many degrees after half of the photos",
    said: ofBoards(1, 2),
    guilty: [1, 2],
    never: "a front wheel at a mean angle",
    strengths: [1, 6],
    taking: (job, deg) =>
      from(job, 8, (bay) => changed(bay, [1, 2], (b) => steered(b, deg, bay.standOffMm))),
  },
  {
    name: "plate-slipped",
    family: "bay",
    how: "a rear plate slipped down by so many mm and tilted by a tenth as many degrees after half of the photos",
    said: ofBoards(4),
    guilty: [4],
    never: "a thrust line from the slipped plate",
    strengths: [2, 10, 40],
    taking: (job, mm) =>
      from(job, 8, (bay) =>
        changed(bay, [4], (b) => turned(shifted(b, [0, 0, -mm]), [0.1 * mm, 0, 0])),
      ),
  },
  {
    name: "plates-swapped",
    family: "bay",
    how: "two wheel boards on each other's wheel: 1 = left and right, 2 = front and rear",
    said: ["wheel-boards-swapped", "wheel-boards-no-fit"],
    never: "a mirrored car",
    strengths: [1, 2],
    taking: (job, which) => {
      const [a, b] = which === 1 ? [1, 2] : [1, 3];
      everywhere(job, (bay) => {
        const pose = (id: number) => bay.boards.find((one) => one.id === id)!.worldFromBoard;
        const [ofA, ofB] = [pose(a), pose(b)];
        const swapped = changed(bay, [a], (one) => ({ ...one, worldFromBoard: ofB }));
        return changed(swapped, [b], (one) => ({ ...one, worldFromBoard: ofA }));
      });
    },
  },
  {
    name: "stand-sagging",
    family: "bay",
    how: "the stand's pole sinks all the time, by so many mm over the photos",
    said: ofBody("stand", ...stand),
    guilty: stand,
    never: "a height in the middle without a word",
    strengths: [3, 20],
    taking: (job, mm) => {
      for (const [i, scene] of job.scenes.entries())
        scene.bay = withStandMoved(scene.bay, [0, 0, (-mm * i) / 15]);
      job.truth = trueChecks(job.scenes[15].bay);
    },
  },
  {
    name: "stand-bumped",
    family: "bay",
    how: "the stand was knocked by so many mm between photos",
    said: ofBody("stand", ...stand),
    guilty: stand,
    never: "a target between its two places",
    strengths: [3, 15, 60],
    taking: (job, mm) => {
      from(job, 12, (bay) => withStandMoved(bay, [0.5 * mm, 0.85 * mm, 0]));
      job.truth = trueChecks(job.scenes[15].bay);
    },
  },
  {
    name: "length-misread",
    family: "bay",
    how: "one measured length read wrongly by so many mm (10 = a centimetre, 304.8 = a foot)",
    said: ofStatement("length reference"),
    guilty: [],
    never: "everything scaled to the wrong length",
    strengths: [10, 304.8],
    written: ({ job }, mm) => {
      job.lengths[0].lengthMm += mm;
    },
  },
  {
    name: "tape-hooked-wrongly",
    family: "bay",
    how: "every length too long by so many mm",
    said: ["lengths-against-print", ...ofStatement("length reference")],
    guilty: [],
    never: "everything scaled to the tape",
    strengths: [10, 50],
    written: ({ job }, mm) => {
      for (const length of job.lengths) length.lengthMm += mm;
    },
  },
  {
    name: "wheel-board-upside-down",
    family: "bay",
    how: "a wheel board turned by half a turn on its wheel",
    said: ["wheel-board-upside-down"],
    guilty: [],
    never: "any number changed",
    strengths: [180],
    taking: (job, deg) =>
      everywhere(job, (bay) => changed(bay, [3], (b) => turned(b, [0, 0, deg]))),
  },
  {
    name: "stand-board-upside-down",
    family: "bay",
    how: "one of the stand's two boards fixed the other way up than it was taught",
    said: [...ofStatement("target offset", 31), "target-turned-over", "stand-board-turned"],
    guilty: [31],
    never: "a target turned between the two",
    strengths: [180],
    taking: (job, deg) =>
      everywhere(job, (bay) => changed(bay, [31], (b) => turned(b, [0, 0, deg]))),
  },
  {
    name: "floor-stepped",
    family: "bay",
    how: "the floor ahead of the car lies so many mm lower, with stand and boards on it",
    said: ["floor-differs", "floor-board-off-plane", ...ofStatement("floor")],
    never: "a height over a floor between the two",
    strengths: [4, 12, 40],
    taking: (job, mm) => {
      everywhere(job, (bay) =>
        withStandMoved(
          changed(bay, [11, 12, 21, 22], (b) => shifted(b, [0, 0, -mm])),
          [0, 0, -mm],
        ),
      );
    },
  },
  {
    name: "board-on-a-cable",
    family: "bay",
    how: "a floor board lies on a cable, so many mm up",
    said: ["floor-board-off-plane", ...ofStatement("floor", 16)],
    guilty: [16],
    never: "a tilted floor",
    strengths: [6, 25],
    taking: (job, mm) =>
      everywhere(job, (bay) => changed(bay, [16], (b) => shifted(b, [0, 0, mm]))),
  },
  {
    name: "stand-moved-after",
    family: "bay",
    how: "the stand knocked by so many mm before the photos after the run",
    said: ["moved-after-run"],
    never: "all meet",
    neverConfident: true,
    strengths: [3, 20],
    taking: (job, mm) => {
      after(job);
      for (const scene of job.afterScenes)
        scene.bay = withStandMoved(scene.bay, [0.6 * mm, 0.8 * mm, 0]);
    },
  },
  {
    name: "car-moved-after",
    family: "bay",
    how: "the car rolled by so many mm during the run",
    said: ["moved-after-run"],
    never: "all meet",
    neverConfident: true,
    strengths: [4, 40],
    taking: (job, mm) => {
      after(job);
      for (const scene of job.afterScenes)
        scene.bay = carMoved(scene.bay, { q: [1, 0, 0, 0], p: [mm, 0, 0] });
    },
  },
  {
    name: "car-turned-between",
    family: "bay",
    how: "the car was turned by so many degrees about its middle after half of the photos",
    said: ofBody("car", ...wheels),
    guilty: wheels,
    never: "a centreline between the two",
    strengths: [0.1, 1],
    taking: (job, deg) => {
      const middle = { q: [1, 0, 0, 0] as const, p: [-1300, 0, 0] as const };
      const by = { q: turn([0, 0, rad(deg)]), p: [0, 0, 0] as const };
      from(job, 8, (bay) => carMoved(carMoved(carMoved(bay, inverse(middle)), by), middle));
      job.truth = trueChecks(job.scenes[15].bay);
    },
  },
  {
    name: "spare-page-in-view",
    family: "bay",
    how: "a pointer board of the kit lies on the bench, no part of the job",
    said: ["unknown-board"],
    guilty: [45],
    never: "any number changed",
    strengths: [1],
    taking: (job) =>
      everywhere(job, (bay) => {
        const pattern = bay.boards.find(({ id }) => id === 13)!;
        return { ...bay, boards: [...bay.boards, { ...shifted(pattern, [300, 300, 0]), id: 45 }] };
      }),
  },
];
