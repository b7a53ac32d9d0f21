let closed: MessagePort | null = null;

/**
 * Gives the memory of bytes back at once instead of with the next collection: a worker that gets files
 * one after the other would otherwise hold some 60 MB of them. The bytes must be the caller's own; they
 * are empty afterwards. `ArrayBuffer.transfer` would not do: Chromium 156 keeps the memory of what it
 * read from a Blob until its own object is collected, and then collects even later (60 reads of 1.1 MB:
 * 69 MB more either way). Handed to a port whose other end is closed it is gone: 7 MB.
 */
export function giveBack({ buffer }: Uint8Array): void {
  closed ??= closedPort();
  closed.postMessage(null, [buffer as ArrayBuffer]);
}

function closedPort(): MessagePort {
  const { port1, port2 } = new MessageChannel();
  port2.close();
  return port1;
}
