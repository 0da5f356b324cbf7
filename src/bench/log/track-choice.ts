// Which tracks stand in the log: those that were chosen, or as many as fit, the most telling first.

/** The most telling first; a track that is not named here comes before the last four. */
const TELLING = [
  'thinnest',
  'layer-time',
  'landing',
  'snap',
  'area',
  'soft-again',
  'surplus',
  'reach',
  'shells',
  'bond',
  'too-soon',
  'crossings',
  'gear-passes',
  'shells-only',
]
const UNNAMED = TELLING.length - 4.5

const rank = (id: string): number => {
  const at = TELLING.indexOf(id)
  return at < 0 ? UNNAMED : at
}

/** Ids of the tracks that stand in the log when nothing was chosen, in the order of the log. */
export const tellingTracks = (ids: readonly string[], most: number): readonly string[] => {
  const kept = new Set([...ids].sort((a, b) => rank(a) - rank(b)).slice(0, Math.max(1, most)))
  return ids.filter((id) => kept.has(id))
}

/**
 * Tracks in the order in which they stand.
 * @param choice ids in order; null for as many as fit. Ids that there is no track for yet are passed over.
 * @param most how many fit
 */
export const standingTracks = <T extends { readonly id: string }>(
  tracks: readonly T[],
  choice: readonly string[] | null,
  most: number,
): readonly T[] => {
  const of = (id: string) => tracks.find((track) => track.id === id)
  const chosen = (choice ?? []).map(of).filter((track) => track !== undefined)
  if (chosen.length) return chosen
  return tellingTracks(
    tracks.map(({ id }) => id),
    most,
  )
    .map(of)
    .filter((track) => track !== undefined)
}

/** The choice with a track moved by one place. */
export const moved = (ids: readonly string[], id: string, by: -1 | 1): readonly string[] => {
  const at = ids.indexOf(id)
  const to = at + by
  if (at < 0 || to < 0 || to >= ids.length) return ids
  const next = [...ids]
  next[at] = ids[to]
  next[to] = id
  return next
}
