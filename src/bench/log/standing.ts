// The tracks that stand in the log now, from what is known, what was chosen and how much room there is.

import { computed, signal } from '@preact/signals'
import { boardPlan } from '../board-frame.ts'
import { sheet } from '../state.ts'
import { tracksWithHeld } from '../whatif/compare-sheets.ts'
import { held, isSameAsShown } from '../whatif/held.ts'
import { standingTracks } from './track-choice.ts'
import { easyTracks, mostTracks } from './track-width.ts'

/** Ids that were chosen, in order; null for as many as fit. */
export const trackChoice = signal<readonly string[] | null>(null)

/** How many tracks fit at all. */
export const room = computed(() => mostTracks(boardPlan.value.logPx, boardPlan.value.scale))

/** Tracks as they stand; more than fit are never shown. */
export const standing = computed(() => {
  const { logPx, scale } = boardPlan.value
  const { tracks = [], layers } = sheet.value
  const shown = standingTracks(tracks, trackChoice.value, easyTracks(logPx, scale)).slice(0, room.value)
  const a = held.value
  // A print file's tracks carry the plan's line themselves.
  const isPlanBeside = !!sheet.value.code && !a?.parts.code
  return a && layers && !isSameAsShown.value && !isPlanBeside ? tracksWithHeld(shown, layers.faceZ, a.parts) : shown
})
