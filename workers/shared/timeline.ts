/**
 * Runs a piece of work and puts it on the browser's own timeline (User Timing, W3C), where developer
 * tools and `npm run bench:app -- --timeline` see what every worker did when.
 */
export const onTimeline = async <T>(name: string, work: () => T | Promise<T>): Promise<T> => {
  const start = performance.now();
  try {
    return await work();
  } finally {
    performance.measure(name, { start, end: performance.now() });
    // Traces have it by now; a worker that runs for hours keeps no list.
    performance.clearMeasures(name);
  }
};
