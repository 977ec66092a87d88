/** An address given out of the app: through the phone's own sheet, or over the clipboard. */

export async function send(url: string, title: string): Promise<void> {
  try {
    await navigator.share({ url, title });
  } catch (error) {
    if ((error as Error).name !== "AbortError") throw error; // closing the sheet is no failure
  }
}

/** Without TLS a page has no clipboard of its own; what is marked on it can be copied all the same. */
export async function copy(address: string, shown: Node | null): Promise<void> {
  if (navigator.clipboard) return navigator.clipboard.writeText(address);
  if (shown) getSelection()?.selectAllChildren(shown);
  if (!document.execCommand("copy")) throw new Error("Not copied. Press long on the address, then copy it.");
}
