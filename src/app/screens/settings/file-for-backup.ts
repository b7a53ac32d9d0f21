interface FilePicker {
  showSaveFilePicker(options: { readonly suggestedName: string }): Promise<{
    createWritable(): Promise<WritableStream>;
  }>;
}

/**
 * A stream straight into a file of the user's choice, where the browser has that: then a backup of any
 * size needs no memory. Null where it has not: the backup is made as a whole and downloaded.
 */
export async function fileForBackup(name: string): Promise<WritableStream | null | "given up"> {
  if (!("showSaveFilePicker" in window)) {
    return null;
  }
  try {
    const picker = window as unknown as FilePicker;
    return await (await picker.showSaveFilePicker({ suggestedName: name })).createWritable();
  } catch (error) {
    // Closed without a choice; anything else (a picker that is forbidden here) leaves the download.
    return error instanceof DOMException && error.name === "AbortError" ? "given up" : null;
  }
}
