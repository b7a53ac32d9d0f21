import { lensOrder, lensSize } from "../../lens/lens.ts";
import type { Remark } from "../problem/codes.ts";
import type { Block, Layout } from "../problem/layout.ts";
import { boardName, boardNumber, givenName, sourceWords } from "../problem/names.ts";
import type { State } from "../problem/state.ts";
import { findDatum } from "./datum.ts";
import type { Factorisation } from "./normal-equations.ts";
import type { Model } from "./optimise.ts";

/**
 * Says in words of the bay what the statements leave open: the direction in which the unknowns can
 * move without any statement feeling it, found by inverse iteration on the damped equations.
 */
export const describeUndetermined = (model: Model, state: State, failedAt: number): Remark => {
  const blocks = looseBlocks(model, state, failedAt);
  const words = blocks.map((block) => nameBlock(model.layout, block));
  return {
    code: "not-determined",
    values: {
      what: blocks.map((block) => plainName(model.layout, block)),
      kind: blocks[0]?.kind ?? "",
    },
    severity: "error",
    message: `The photos and measures do not determine ${joinWords(words)}.`,
    remedy: remedyFor(blocks),
    about: blocks[0]?.kind === "photo" ? blocks[0].key : "",
  };
};

/** A focal length less sure than this share of itself after all photos is as good as unknown. */
const unknownFocalShare = 0.2;

/**
 * Where steps wander along a valley without end, rounding may leave the equations a solution. First
 * unknown of a camera without a prior whose focal length they leave open; -1 where there is none.
 */
export const openLens = (
  { layout }: Model,
  state: State,
  factorisation: Factorisation & { readonly ok: true },
): number => {
  const open = layout.cameraBlock.find((block) => {
    const { index } = block;
    const size = layout.lensSpread[index].length / lensSize;
    if (size === 0 || layout.problem.cameras[index].priorCovariance) return false;
    const focal = new Float64Array(layout.size);
    focal.set(layout.lensSpread[index].subarray(0, size), block.offset);
    const influence = focal.slice();
    factorisation.solve(influence);
    const variance = focal.reduce((sum, f, i) => sum + f * influence[i], 0);
    return !(Math.sqrt(variance) < unknownFocalShare * Math.abs(state.lens[lensSize * index]));
  });
  return open ? open.offset : -1;
};

const looseBlocks = (model: Model, state: State, failedAt: number): Block[] => {
  const { layout, equations } = model;
  equations.build(state);
  const { constraints } = findDatum(layout, state, model.statements, model.datumOverPhotos);
  const home = layout.blocks.find((b) => failedAt >= b.offset && failedAt < b.offset + b.size);
  for (let lambda = 1e-10; lambda < 1; lambda *= 100) {
    const factorisation = equations.factor(lambda, constraints);
    if (!factorisation.ok) continue;
    const scale = equations.diagonal.map((h) => Math.sqrt(Math.max(h, 1e-300)));
    const v = new Float64Array(layout.size);
    for (let i = 0; i < v.length; i++) v[i] = Math.sin(1 + i * 1.7);
    for (let pass = 0; pass < 4; pass++) {
      for (let i = 0; i < v.length; i++) v[i] *= scale[i];
      factorisation.solve(v);
      let size = 0;
      for (let i = 0; i < v.length; i++) size = Math.max(size, Math.abs(v[i] * scale[i]));
      for (let i = 0; i < v.length; i++) v[i] = (v[i] * scale[i]) / size;
    }
    const loose = layout.blocks.filter((block) =>
      v.subarray(block.offset, block.offset + block.size).some((x) => Math.abs(x) > 0.2),
    );
    if (loose.length > 0) return loose;
  }
  return home ? [home] : [];
};

const nameBlock = (layout: Layout, block: Block): string => {
  switch (block.kind) {
    case "photo":
      return `where photo ${block.key} was taken`;
    case "board":
      return `where ${boardName(block.key)} is`;
    case "camera": {
      const free = lensOrder.filter((_, i) => layout.problem.cameras[block.index].free[i]);
      return `the lens of the phone (${free.join(", ")})`;
    }
    case "print":
      return "the scale of the prints";
    case "scalars":
      return sourceWords[layout.problem.scalars[block.index].source].toLowerCase();
    default:
      return `where "${givenName(block.key)}" is`;
  }
};

/** The same in one word, for other languages. */
const plainName = ({ problem }: Layout, { kind, key, index }: Block): string =>
  kind === "photo"
    ? key
    : kind === "board"
      ? boardNumber(key)
      : kind === "scalars"
        ? problem.scalars[index].source
        : givenName(key);

const remedyFor = (blocks: readonly Block[]): string => {
  const kinds = new Set(blocks.map((b) => b.kind));
  if (kinds.has("camera"))
    return "Photograph the sheet from more directions: tilted left, right, up and down, and near the corners of the picture.";
  if (kinds.has("photo") || kinds.has("board"))
    return "Take more photos that show these boards together with others, from other places.";
  return "State how well this is known, or measure it.";
};

export const joinWords = (words: readonly string[]): string => {
  const shown = words.length > 6 ? [...words.slice(0, 5), `${words.length - 5} more`] : words;
  if (shown.length < 2) return shown[0] ?? "all unknowns";
  return `${shown.slice(0, -1).join(", ")} and ${shown[shown.length - 1]}`;
};
