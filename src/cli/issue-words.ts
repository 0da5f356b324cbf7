// Where an issue stands, in brackets behind its sentence.

import type { Issue } from '../engine/kernel/index.ts'

/** E.g. " (line 3, column 7)"; empty when the whole input is meant. */
export const placeOf = ({ place }: Issue): string => {
  if (!place) return ''
  const parts = [
    place.line === undefined ? '' : `line ${place.line}`,
    place.column === undefined ? '' : `column ${place.column}`,
    place.byte === undefined ? '' : `byte ${place.byte}`,
    place.key === undefined ? '' : place.key,
  ].filter(Boolean)
  return parts.length > 0 ? ` (${parts.join(', ')})` : ''
}
