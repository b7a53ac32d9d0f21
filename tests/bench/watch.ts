/**
 * `npm run bench:watch`: a stand 3 m away, watched by a phone on a tripod. First rendered frames go
 * the whole way (finder, print fit, watch): still, moved by 0.5 mm sideways, by 2 mm in depth. Then
 * hours are simulated from one frame's own fits: scatter at three times what the fit states, a
 * wandering stabiliser, drift of single boards, people in the way. Last line: one JSON object.
 * `--quick`: fewer trials and hours; `--hours 40`: so many still hours.
 */
import { loadOpenCV } from "@opencvjs/web";
import { boardTagFinder } from "../../src/detect/tags/opencv-tag-finder.ts";
import { usualSettings, Watch, type WatchEvent } from "../../src/watch/watch.ts";
import { watchStory } from "../tools/watch/simulate.ts";
import { cellMm, filmed, measureFrame, streamLens } from "../tools/watch/stream.ts";

const quick = process.argv.includes("--quick");
const finder = boardTagFinder(await loadOpenCV());
const noiseFactor = 3;
const hiddenShare = 0.1;
const still = filmed({});
const template = measureFrame(still(1), finder, 0).boards;

const isStandMove = (event: WatchEvent): boolean =>
  event.kind === "moved" && (event.body === "stand" || event.body === 31 || event.body === 32);

/** Seconds from the movement to the alarm through rendered frames; null where there was none. */
function rendered(stand: readonly [number, number, number]): number | null {
  const moved = filmed({ stand });
  const watch = new Watch({ ...usualSettings, cellMm: () => cellMm, focalPx: streamLens.fx });
  const from = 16;
  for (let second = 0; second < from + 4; second++) {
    const frame = (second < from ? still : moved)(second + 7);
    const { events } = watch.push(measureFrame(frame, finder, second * 1000));
    for (const event of events) {
      if (event.kind === "moved") {
        const { body, sidewaysMm, depthMm, sidewaysU, depthU } = event;
        const text = [sidewaysMm, sidewaysU, depthMm, depthU].map((mm) => mm.toFixed(2));
        console.log(
          `  second ${second}: ${body} sideways ${text[0]} +- ${text[1]} mm, depth ${text[2]} +- ${text[3]} mm`,
        );
        if (isStandMove(event)) return second - from + 1;
      }
    }
  }
  return null;
}

console.log("rendered frames, stand moved by 0.5 mm to the right:");
const aside = rendered([0.5, 0, 0]);
console.log(`  alarm after ${aside} s`);
console.log("rendered frames, stand moved by 2 mm away:");
const away = rendered([0, 0, 2]);
console.log(`  alarm after ${away} s`);

/** Share of trials in which a movement is told within 3 s. */
function told(mm: readonly [number, number], trials: number, seed: number): number {
  let hits = 0;
  for (let i = 0; i < trials; i++) {
    const from = 20 + (i % 40);
    const events = watchStory(template, {
      seconds: from + 3,
      seed: seed + i,
      noiseFactor,
      hiddenShare: 0,
      stand: { from, mm },
    });
    if (events.some((event) => isStandMove(event) && event.at >= from * 1000)) hits++;
  }
  return hits / trials;
}

const trials = quick ? 60 : 300;
const shares = [
  told([0.5, 0], trials, 1000),
  told([0, 2], trials, 5000),
  told([0, -2], trials, 9000),
];
console.log(
  `told within 3 s of ${trials}: 0.5 mm sideways ${shares[0]}, 2 mm away ${shares[1]}, 2 mm nearer ${shares[2]}`,
);
const sizes = [0.1, 0.2, 0.25, 0.3, 0.35, 0.4, 0.45, 0.5];
const detectable = sizes.find((mm) => told([mm, 0], Math.min(60, trials), 20_000) >= 0.95) ?? null;

const asked = process.argv.indexOf("--hours");
const hours = asked > 0 ? Number(process.argv[asked + 1]) : quick ? 5 : 100;
const quiet = { falseMoves: 0, anew: 0, bumps: 0 };
for (let hour = 0; hour < hours; hour++) {
  const events = watchStory(template, {
    seconds: 3600,
    seed: 70_000 + hour,
    noiseFactor,
    hiddenShare,
  });
  quiet.falseMoves += events.filter(({ kind }) => kind === "moved").length;
  quiet.anew += events.filter(({ kind }) => kind === "begun anew").length;
  quiet.bumps += events.filter(({ kind }) => kind === "phone moved").length;
}
console.log(
  `${hours} still hours: ${quiet.falseMoves} false movements, ${quiet.anew} begun anew, ${quiet.bumps} times a touched phone`,
);
const bumped = { told: 0, falseMoves: 0 };
const bumpTrials = quick ? 20 : 100;
for (let i = 0; i < bumpTrials; i++) {
  const events = watchStory(template, {
    seconds: 60,
    seed: 90_000 + i,
    noiseFactor,
    hiddenShare,
    bump: { at: 30, px: 4 },
  });
  if (events.some(({ kind }) => kind === "phone moved")) bumped.told++;
  bumped.falseMoves += events.filter(({ kind }) => kind === "moved").length;
}
console.log(
  `${bumpTrials} touched tripods: ${bumped.told} named, ${bumped.falseMoves} taken for a movement`,
);
console.log(
  JSON.stringify({
    detectable_mm_at_3m: detectable,
    false_alarms_per_hour: quiet.falseMoves / hours,
    missed: 3 * trials - Math.round(shares.reduce((sum, share) => sum + share * trials, 0)),
    rendered_sideways_s: aside,
    rendered_depth_s: away,
    bumps_named: bumped.told / bumpTrials,
    hours,
  }),
);
