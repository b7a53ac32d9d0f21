import type { NetworkProblem } from "../adjust/problem/problem.ts";

/** What a part of the set-up adds to the adjustment. */
export type ProblemPieces = Pick<NetworkProblem, "floor" | "frames" | "scalars" | "chains">;

/** All pieces in one. */
export const joinPieces = (...pieces: readonly ProblemPieces[]): ProblemPieces => ({
  floor: pieces.flatMap((p) => p.floor),
  frames: pieces.flatMap((p) => p.frames),
  scalars: pieces.flatMap((p) => p.scalars),
  chains: pieces.flatMap((p) => p.chains),
});

export const noPieces: ProblemPieces = { floor: [], frames: [], scalars: [], chains: [] };

/** The problem with the pieces added to what it already states. */
export const withPieces = (problem: NetworkProblem, pieces: ProblemPieces): NetworkProblem => ({
  ...problem,
  ...joinPieces(problem, pieces),
});
