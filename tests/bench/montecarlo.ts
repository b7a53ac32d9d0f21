/**
 * `npm run bench:montecarlo`: are the stated 95 % intervals those of the distributions themselves?
 * JCGM 101:2008, clause 8, over the demo and ten random bays: the unknowns are drawn from their joint
 * distribution and every reported number is evaluated without linearising (a million draws in all);
 * in a share, all inputs are drawn and the whole adjustment is solved anew.
 *
 * Options: --bays N (default 10), --draws N (in all, default 1000000), --anew N (for each network,
 * default 20), --quick (2 bays, 40000 draws, 5 anew). The last line is one JSON object.
 */
import { parseArgs } from "node:util";
import { compareDraws } from "./montecarlo/draws.ts";
import { bayNetwork, demoNetwork, type SolvedNetwork } from "./montecarlo/network.ts";
import { solveAnew } from "./montecarlo/solve-anew.ts";

const { values: options } = parseArgs({
  options: {
    bays: { type: "string", default: "10" },
    draws: { type: "string", default: "1000000" },
    anew: { type: "string", default: "20" },
    quick: { type: "boolean", default: false },
  },
});
const bays = options.quick ? 2 : Number(options.bays);
const draws = options.quick ? 40_000 : Number(options.draws);
const anew = options.quick ? 5 : Number(options.anew);

const each = Math.ceil(draws / (bays + 1));
let worst = 0;
let worstOffset = 0;
let numbers = 0;
const squares: number[] = [];
let inside = 0;
let count = 0;
let lost = 0;

const check = (network: SolvedNetwork, seed: number): void => {
  const compared = compareDraws(network, each, seed);
  for (const { key, stated, drawn, offset } of compared) {
    numbers++;
    const apart = drawn / stated - 1;
    if (Math.abs(apart) > Math.abs(worst)) worst = apart;
    if (Math.abs(offset) > Math.abs(worstOffset)) worstOffset = offset;
    if (Math.abs(apart) > 0.02)
      console.log(
        `  ${network.name} ${key}: draws ${(100 * apart).toFixed(1)} % wider than stated`,
      );
  }
  const propagated = network.adjusted.propagate(network.quantities);
  const m = network.quantities.length;
  const sd = network.quantities.map((_, i) => Math.sqrt(propagated.covariance[i * m + i]));
  for (let n = 0; n < anew; n++) {
    const errors = solveAnew(network, { values: propagated.values, sd }, 1000 * seed + n);
    if (!errors) {
      lost++;
      continue;
    }
    for (const z of errors) {
      squares.push(z * z);
      count++;
      if (Math.abs(z) <= 1.959963984540054) inside++;
    }
  }
  console.log(
    `${network.name}: ${compared.length} numbers, ${each} draws, widest apart ${(
      100 * Math.max(...compared.map(({ stated, drawn }) => Math.abs(drawn / stated - 1)))
    ).toFixed(2)} %`,
  );
};

check(demoNetwork(), 1);
for (let seed = 1; seed <= bays; seed++) check(bayNetwork(seed), seed + 1);

const mean = squares.reduce((sum, value) => sum + value, 0) / squares.length;
const round = (value: number): number => Math.round(1e4 * value) / 1e4;
console.log(
  JSON.stringify({
    networks: bays + 1,
    numbers,
    draws: each * (bays + 1),
    widest_apart: round(worst),
    farthest_offset: round(worstOffset),
    solved_anew: (bays + 1) * anew - lost,
    not_solved: lost,
    anew_sd_over_stated: round(Math.sqrt(mean)),
    anew_coverage95: round(inside / count),
  }),
);
