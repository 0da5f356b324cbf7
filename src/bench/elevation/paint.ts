// What can be laid over the figure: quantities of its surface, and the tracks, whose value holds for a whole layer.

import { computed } from '@preact/signals'
import type { SurfaceQuantity } from '../messages.ts'
import { paint, sheet } from '../state.ts'
import type { HeightQuantity } from './solid-view.ts'

/** A quantity as it can be chosen, with what its legend says. */
export interface Paint {
  readonly id: string
  readonly name: string
  readonly unit: string
  readonly from: number
  readonly to: number
  readonly decimals: number
  /** What it is held against, where the log draws a limit for the same quantity. */
  readonly limit?: { readonly label: string; readonly value: number; readonly bad: 'above' | 'below' }
  readonly quantity: SurfaceQuantity | HeightQuantity
}

/** Tracks that hold the limit of a quantity of the surface, where they go by another name. */
const LIMIT_TRACK: Readonly<Record<string, string>> = { thickness: 'thinnest' }

/** All that is known so far; quantities of the surface first. */
export const paints = computed((): readonly Paint[] => {
  const { surface, tracks = [], layers } = sheet.value
  const ofSurface = (surface?.quantities ?? []).map((quantity): Paint => {
    const track = tracks.find(({ id }) => id === (LIMIT_TRACK[quantity.id] ?? quantity.id))
    const limit = track?.unit === quantity.unit ? track.limit : undefined
    return { ...quantity, ...(limit ? { limit } : {}), quantity }
  })
  const faceZ = layers?.faceZ
  if (!faceZ) return ofSurface
  // What is known at every place of the surface is not offered once more by layer.
  const known = new Set(ofSurface.map(({ id }) => id))
  const byLayer = tracks
    .filter(({ id }) => !known.has(id))
    .map(
      ({ id, question, unit, values, from, to, decimals, limit }): Paint => ({
        id,
        name: question,
        unit,
        from,
        to,
        decimals: Math.min(decimals, 1),
        ...(limit ? { limit } : {}),
        quantity: { faceZ, values, from, to },
      }),
    )
  return [...ofSurface, ...byLayer]
})

/** What is laid over the figure now; null while it is not known or nothing was chosen. */
export const painted = computed(() => paints.value.find(({ id }) => id === paint.value) ?? null)
