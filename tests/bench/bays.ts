/**
 * `npm run bench:bays`: 1,000 random bays with 5 to 40 photos from nothing to the right minimum.
 * A bay counts as wrong where any board's distance from the first is more than five standard
 * deviations off or any board is turned by more than 0.03 rad against the truth. Option: --bays N.
 */

import { adjust } from "../../src/adjust/adjust.ts";
import {
  compose,
  invert,
  logRotation,
  matMul,
  norm,
  sub,
  transpose,
} from "../../src/maths/pose.ts";
import { makeBay, prune, trueRelative } from "../unit/adjust/bay.ts";

const option = process.argv.indexOf("--bays");
const wanted = option < 0 ? 1000 : Number(process.argv[option + 1]);

let right = 0;
let bays = 0;
let undecided = 0;
const wrong: string[] = [];
const began = performance.now();
for (let seed = 10_001; bays < wanted; seed++) {
  const bay = prune(
    makeBay({
      seed,
      photos: 5 + (seed % 36),
      boards: 6 + (seed % 12),
      grid: 3,
      floor: seed % 2 === 0,
      lengths: seed % 3,
      printSd: seed % 3 ? 0.001 : 0,
      cellSd: seed % 4 ? 0.0005 : 0,
      bendSd: seed % 5 ? 0 : 2e-5,
    }),
  );
  if (bay.problem.photos.length < 3) continue;
  bays++;
  const out = adjust(bay.problem);
  if (!out.ok) {
    wrong.push(`${seed}: ${out.reason}`);
    continue;
  }
  const [first, ...others] = bay.problem.boards.map((b) => b.key);
  const { values, covariance } = out.propagate(
    others.map((b) => ({ key: b, evaluate: (s) => norm(sub(s.pose(b).t, s.pose(first).t)) })),
  );
  const off = others.filter((b, i) => {
    const truth = trueRelative(bay, first, b);
    const found = compose(invert(out.state.pose(first)), out.state.pose(b));
    const sd = Math.sqrt(covariance[i * (others.length + 1)]);
    const turn = norm(logRotation(matMul(transpose(found.R), truth.R)));
    return Math.abs(values[i] - norm(truth.t)) > 5 * sd || turn > 0.03;
  });
  if (off.length === 0) right++;
  else
    wrong.push(
      `${seed}: boards ${off.join(", ")}${out.remarks.length > 0 ? " (said to be undecided)" : ""}`,
    );
  if (out.remarks.length > 0) undecided++;
}
for (const line of wrong.slice(0, 20)) console.log(line);
console.log(
  `${right} of ${bays} bays in the right minimum, ${undecided} with a warning about mirrored poses`,
);
console.log(
  JSON.stringify({
    bays,
    right,
    undecided,
    seconds: Number(((performance.now() - began) / 1000).toFixed(1)),
  }),
);
