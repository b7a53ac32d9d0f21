/** How much room this site has on the device, as far as the browser says. */
export interface StorageState {
  readonly used: number;
  readonly quota: number | null;
  readonly persisted: boolean;
}

/** `navigator.storage` does not exist on plain http. */
export async function storageState(): Promise<StorageState> {
  if (!navigator.storage?.estimate) {
    return { used: 0, quota: null, persisted: false };
  }
  const { usage = 0, quota = 0 } = await navigator.storage.estimate();
  const persisted = (await navigator.storage.persisted?.()) ?? false;
  return { used: usage, quota: quota || null, persisted };
}

/** Asks the browser not to delete our data on its own; it may refuse without a word. */
export async function askToPersist(): Promise<boolean> {
  return (await navigator.storage?.persist?.()) ?? false;
}
