/** Shown probabilities end here on either side: none is stated as certain. */
const [leastShown, mostShown] = [0.001, 0.999];

/**
 * A probability as it is shown to people, a share of 1. `bound` tells that the value itself lies
 * beyond the share that is shown.
 */
export const shownProbability = (
  probability: number,
): { readonly bound: "over" | "under" | null; readonly share: number } => {
  if (probability > mostShown) return { bound: "over", share: mostShown };
  if (probability < leastShown) return { bound: "under", share: leastShown };
  return { bound: null, share: probability };
};
