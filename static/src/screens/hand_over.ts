/** A file given out of the app: through the phone's share sheet where it takes such files, else as a download. */

/** Resolves to whether it was handed over; false when the grower closed the share sheet. */
export async function handOver(blob: Blob, name: string): Promise<boolean> {
  const file = new File([blob], name, { type: blob.type });
  if (navigator.canShare?.({ files: [file] })) {
    try {
      await navigator.share({ files: [file], title: name });
      return true;
    } catch (error) {
      if (error instanceof DOMException && error.name === "AbortError") return false;
      // Some browsers promise to share a kind of file and then do not.
    }
  }
  download(file, name);
  return true;
}

const KEPT_MS = 60_000; // a slow phone may still be reading it

export function download(blob: Blob, name: string): void {
  const url = URL.createObjectURL(blob);
  const link = document.createElement("a");
  link.href = url;
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(url), KEPT_MS);
}
