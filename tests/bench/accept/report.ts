/** What the simulated shops say together. */
import type { JudgedShop } from "./judge-shop.ts";
import { faults } from "./shop.ts";

const quantile = (values: readonly number[], p: number): number => {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[Math.min(sorted.length - 1, Math.floor(p * sorted.length))] ?? Number.NaN;
};
const largest = ({ trueErrors }: JudgedShop): number => Math.max(0, ...trueErrors.map(Math.abs));
const share = (count: number, of: number): number => (of > 0 ? count / of : Number.NaN);

const isFalsePass = ({ outcome, trulyWithin }: JudgedShop): boolean =>
  outcome === "pass" && !trulyWithin;
const isFalseFail = ({ outcome, trulyWithin }: JudgedShop): boolean =>
  outcome === "fail" && trulyWithin;

export const summary = (shops: readonly JudgedShop[]) => {
  const sound = shops.filter(({ fault, refused }) => fault === "none" && refused === null);
  const normalised = sound.flatMap((shop) => shop.normalised);
  const repeats = sound.flatMap(({ repeat }) => repeat ?? []);
  return {
    jobs: shops.length,
    largest_length_error_mm: round(Math.max(0, ...sound.map(largest))),
    largest_length_error_median_mm: round(quantile(sound.map(largest), 0.5)),
    false_pass: round(share(shops.filter(isFalsePass).length, shops.length)),
    false_fail: round(share(shops.filter(isFalseFail).length, shops.length)),
    sound_passed: round(
      share(sound.filter(({ outcome }) => outcome === "pass").length, sound.length),
    ),
    interval95: round(
      share(normalised.filter((z) => Math.abs(z) <= 1.96).length, normalised.length),
    ),
    repeatability_over_stated: round(
      Math.sqrt(
        share(
          repeats.reduce((sum, { sd, stated }) => sum + (sd / stated) ** 2, 0),
          repeats.length,
        ),
      ),
    ),
  };
};

const round = (value: number): number => Math.round(1e4 * value) / 1e4;

export const printShops = (shops: readonly JudgedShop[]): void => {
  for (const fault of faults) {
    const mine = shops.filter((shop) => shop.fault === fault);
    if (mine.length === 0) continue;
    const counts = ["pass", "fail", "not shown", "refused"].map(
      (word) => `${word} ${mine.filter(({ outcome }) => outcome === word).length}`,
    );
    const within = mine.filter(({ trulyWithin }) => trulyWithin).length;
    console.log(
      `${fault}: ${mine.length} shops, ${counts.join(", ")}; truly within limits ${within}; ` +
        `largest error median ${quantile(mine.map(largest), 0.5).toFixed(2)} mm; ` +
        `false pass ${mine.filter(isFalsePass).length}, false fail ${mine.filter(isFalseFail).length}`,
    );
    for (const { seed, refused } of mine) if (refused) console.log(`  shop ${seed}: ${refused}`);
  }
};
