/**
 * Tells open jobs, in this tab and in others, that something came for them from another phone: photos
 * and lenses are stored beside the job, and the tab that shows it reads them.
 */
const channelName = "plumbshot-arrivals";

export function tellArrival(jobId: string): void {
  const channel = new BroadcastChannel(channelName);
  channel.postMessage(jobId);
  channel.close();
}

/** Calls `onArrival` for every arrival for the job; returns how to end it. */
export function hearArrivals(jobId: string, onArrival: () => void): () => void {
  if (typeof BroadcastChannel === "undefined") return () => {};
  const channel = new BroadcastChannel(channelName);
  channel.onmessage = ({ data }: MessageEvent<unknown>) => {
    if (data === jobId) onArrival();
  };
  return () => channel.close();
}
