import type { NetworkProblem } from "../network/problem.ts";

/** What a part of the set-up adds to the adjustment. */
export type ProblemPieces = Pick<NetworkProblem, "frames" | "scalars" | "chains">;

export const joinPieces = (...pieces: readonly ProblemPieces[]): ProblemPieces => ({
  frames: pieces.flatMap((p) => p.frames),
  scalars: pieces.flatMap((p) => p.scalars),
  chains: pieces.flatMap((p) => p.chains),
});
