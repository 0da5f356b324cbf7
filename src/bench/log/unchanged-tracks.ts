// Tracks that come again as they were keep being the same objects, so that they are not drawn again.

import type { Track } from '../../engine/examine/index.ts'

const isSame = ({ values, ...a }: Track, { values: others, ...b }: Track): boolean => {
  if (values.length !== others.length || JSON.stringify(a) !== JSON.stringify(b)) return false
  for (let i = 0; i < values.length; i++) if (!Object.is(values[i], others[i])) return false
  return true
}

/** The tracks, each replaced by the one before where nothing about it changed. */
export const withUnchanged = (tracks: readonly Track[], before: readonly Track[] | undefined): readonly Track[] =>
  tracks.map((track) => {
    const old = before?.find(({ id }) => id === track.id)
    return old && isSame(track, old) ? old : track
  })
