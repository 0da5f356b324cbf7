// Hands a file to the visitor: the browser puts it where its downloads go.

/** A name that every system takes: spaces become dashes, the rest is left out. */
export const fileNameOf = (words: string): string =>
  words
    .toLowerCase()
    .replace(/\.[a-z0-9]{2,4}$/, '')
    .replaceAll(/[^a-z0-9]+/g, '-')
    .replaceAll(/^-|-$/g, '') || 'figure'

/** Saves text or bytes under a name. */
export const saveFile = (name: string, content: string | Uint8Array<ArrayBuffer>, type: string): void => {
  const address = URL.createObjectURL(new Blob([content], { type }))
  const link = document.createElement('a')
  link.href = address
  link.download = name
  link.click()
  // The browser has taken the address by the next turn; some wait a little.
  setTimeout(() => URL.revokeObjectURL(address), 10_000)
}
