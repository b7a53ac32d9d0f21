/** True where the phone's share sheet takes a file of this type. */
export function canShareFile(name: string, type: string): boolean {
  const file = new File([""], name, { type });
  return navigator.canShare?.({ files: [file] }) ?? false;
}

/** Hands a file to the phone's share sheet; false where it was closed without a choice. */
export async function shareFile(name: string, content: BlobPart, type: string): Promise<boolean> {
  try {
    await navigator.share({ files: [new File([content], name, { type })], title: name });
    return true;
  } catch (error) {
    if (error instanceof DOMException && error.name === "AbortError") {
      return false;
    }
    throw error;
  }
}

/** Hands a file to the user through the browser's own download. */
export function saveFile(name: string, content: BlobPart, type = "application/json"): void {
  const url = URL.createObjectURL(new Blob([content], { type }));
  const link = document.createElement("a");
  link.href = url;
  link.download = name;
  document.body.append(link);
  link.click();
  link.remove();
  setTimeout(() => URL.revokeObjectURL(url), 60_000);
}
