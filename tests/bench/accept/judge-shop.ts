/** One simulated shop through camera step and acceptance, laid beside the truth. */
import { accept } from "../../../src/acceptance/acceptance.ts";
import { parseAcceptance } from "../../../src/acceptance/file/parse-acceptance.ts";
import type { AcceptanceResult } from "../../../src/acceptance/result/result.ts";
import type { BoardView, PhotoOutcome } from "../../../src/detect/findings/findings.ts";
import { learnCamera } from "../../../src/job/run/learn-camera.ts";
import type { CameraKnowledge } from "../../../src/job/run/run.ts";
import { Chance, type Rigid } from "../../tools/phone/maths.ts";
import { type Shot, visibleBoards } from "../../tools/phone/shots.ts";
import { exifOf } from "../phone/exif.ts";
import { boardNoisePx, sheetNoisePx, tracedView } from "../phone/traced.ts";
import type { Fault, Shop } from "./shop.ts";

export interface JudgedShop {
  readonly seed: number;
  readonly fault: Fault;
  readonly refused: string | null;
  readonly outcome: AcceptanceResult["outcome"] | "refused";
  /** Measured less true length, mm: what the test cannot know. */
  readonly trueErrors: readonly number[];
  /** Of these, each over what the job states for it (k = 1). */
  readonly normalised: readonly number[];
  readonly trulyWithin: boolean;
  readonly codes: readonly string[];
  readonly repeat: {
    readonly sd: number;
    readonly lower: number;
    readonly upper: number;
    readonly stated: number;
  } | null;
  readonly defaults: AcceptanceResult["defaults"];
  /** Bulge and reading as drawn, to lay beside the defaults. */
}

const one: Rigid = { q: [1, 0, 0, 0], p: [0, 0, 0] };

const outcomeOf = (shot: Shot, name: string, boards: readonly BoardView[]): PhotoOutcome => ({
  ok: true,
  findings: {
    name,
    width: shot.phone.lens.width,
    height: shot.phone.lens.height,
    exif: { ...exifOf(shot), model: "Phone" },
    boards,
    remarks: [],
    timesMs: { decode: 0, find: 0, refine: 0 },
  },
});

/** What a shop's photos show; another source gives the same of pixels. */
export interface ShopViews {
  sheet(round: number): readonly PhotoOutcome[];
  photos(round: number, camera: CameraKnowledge): readonly PhotoOutcome[];
}

export const tracedShop = ({ seed, bay, rounds }: Shop): ShopViews => ({
  sheet: (at) => {
    // Rounds of one phone share its sheet photos.
    const c = new Chance(seed, 60 + (at === 2 ? 1 : 0));
    return rounds[at].sheet.map((shot) => {
      const seen = tracedView(shot, bay.sheet, one, sheetNoisePx, c);
      return outcomeOf(shot, shot.name, seen ? [seen] : []);
    });
  },
  photos: (at) => {
    const c = new Chance(seed, 70 + at);
    return rounds[at].photos.map((shot) => {
      const views = visibleBoards(bay, shot).flatMap((board) => {
        const sigma = c.even(...boardNoisePx);
        return tracedView(shot, board, board.worldFromBoard, sigma, c) ?? [];
      });
      return outcomeOf(shot, `${rounds[at].name}/${shot.name}`, views);
    });
  },
});

export const judgeShop = (shop: Shop, views: ShopViews): JudgedShop => {
  const parsed = parseAcceptance(shop.file);
  if (!parsed.ok) return refused(shop, parsed.problems.join(" "));
  const rounds = [];
  // Rounds of one phone share its sheet photos.
  const learnt = new Map<string, ReturnType<typeof learnCamera>>();
  for (let at = 0; at < shop.rounds.length; at++) {
    const { phone } = shop.rounds[at];
    const camera = learnt.get(phone) ?? learnCamera(views.sheet(at), "2026-01-02");
    learnt.set(phone, camera);
    if (!camera.ok) return refused(shop, `camera: ${camera.remarks[0]?.message ?? ""}`);
    rounds.push({ camera: camera.camera, outcomes: views.photos(at, camera.camera) });
  }
  const answer = accept({ file: parsed.file, rounds, testedAt: "2026-01-02T03:04:05Z" });
  if (!answer.ok) return refused(shop, answer.remarks.map(({ message }) => message).join(" "));
  return compared(shop, answer.result);
};

const refused = (shop: Shop, reason: string): JudgedShop => ({
  seed: shop.seed,
  fault: shop.fault,
  refused: reason,
  outcome: "refused",
  trueErrors: [],
  normalised: [],
  trulyWithin: false,
  codes: [],
  repeat: null,
  defaults: [],
});

const compared = (shop: Shop, result: AcceptanceResult): JudgedShop => {
  const errors = result.lengths.flatMap(({ from, to, limitMm, errors: ofLength }) =>
    ofLength.map(({ measuredMm, statedExpandedMm }) => ({
      error: measuredMm - shop.trueLength(from, to),
      stated: statedExpandedMm / 2,
      limitMm,
    })),
  );
  const { repeatability } = result;
  return {
    seed: shop.seed,
    fault: shop.fault,
    refused: null,
    outcome: result.outcome,
    trueErrors: errors.map(({ error }) => error),
    normalised: errors.map(({ error, stated }) => error / stated),
    trulyWithin: errors.every(({ error, limitMm }) => Math.abs(error) <= limitMm),
    codes: result.remarks.filter(({ severity }) => severity !== "info").map(({ code }) => code),
    repeat: repeatability && {
      sd: repeatability.sd,
      lower: repeatability.lower,
      upper: repeatability.upper,
      stated: repeatability.statedMm,
    },
    defaults: result.defaults,
  };
};
