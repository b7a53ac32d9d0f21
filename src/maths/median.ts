/**
 * Middle value of a list, in any order; of an even number of values the upper of the two in the
 * middle, so that the result is always one of the values. `undefined` for an empty list.
 */
export const upperMedian = (values: Iterable<number>): number | undefined => {
  const sorted = Float64Array.from(values).sort();
  return sorted[sorted.length >> 1];
};

/** Standard deviation of normally distributed values over their median absolute deviation. */
export const sigmaPerMedianDeviation = 1.4826;
