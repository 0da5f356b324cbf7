// Small things in the address, after the #: never sent anywhere, there again after a reload, and good for a link.

export type AddressWord = 'figure' | 'height' | 'turn' | 'tracks' | 'paint' | 'page'

const wordsNow = (): URLSearchParams => new URLSearchParams(location.hash.slice(1))

export const addressWord = (word: AddressWord): string | null => wordsNow().get(word)

/**
 * Sets or, with null, takes out words of the address.
 * @param isStep true makes an entry that the browser's own way back returns to
 */
export const setAddress = (changes: Partial<Record<AddressWord, string | null>>, isStep = false): void => {
  const words = wordsNow()
  const before = words.toString()
  for (const [word, value] of Object.entries(changes)) {
    if (value === null) words.delete(word)
    else words.set(word, value)
  }
  // Commas and spaces may stand as they are: the address stays readable.
  const text = words.toString().replaceAll('%2C', ',')
  if (words.toString() === before) return
  const address = text ? `#${text}` : location.pathname + location.search
  if (isStep) history.pushState(null, '', address)
  else history.replaceState(null, '', address)
}
