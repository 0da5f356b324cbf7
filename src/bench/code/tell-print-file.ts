// Tells a print file by its content: lines that begin with the words of motion code (ISO 6983 and what grew from it).

const FIRST_BYTES = 64 * 1024
const LEAST_LINES = 4
const LEAST_SHARE = 0.25

/** True when most of the first lines that say anything are words of motion code. */
export const isPrintText = (text: string): boolean => {
  if (text.includes('\0')) return false
  let nWords = 0
  let nLines = 0
  for (const line of text.split('\n')) {
    const said = line.replace(/[;(].*$/, '').trim()
    if (!said) continue
    nLines++
    if (/^(N\d+\s*)?[GM]\d{1,3}(\.\d+)?(\s|$|[A-Z*])/i.test(said)) nWords++
  }
  return nWords >= LEAST_LINES && nWords / nLines >= LEAST_SHARE
}

/** Reads the beginning of a file. */
export const isPrintFile = async (file: Blob): Promise<boolean> => {
  const text = await file.slice(0, FIRST_BYTES).text()
  // The last line may be cut in two.
  return isPrintText(file.size > FIRST_BYTES ? text.slice(0, text.lastIndexOf('\n')) : text)
}
