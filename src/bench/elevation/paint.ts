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
  readonly quantity: SurfaceQuantity | HeightQuantity
}

/** All that is known so far; quantities of the surface first. */
export const paints = computed((): readonly Paint[] => {
  const { surface, tracks = [], layers } = sheet.value
  const ofSurface = (surface?.quantities ?? []).map((quantity): Paint => ({ ...quantity, quantity }))
  const faceZ = layers?.faceZ
  if (!faceZ) return ofSurface
  // What is known at every place of the surface is not offered once more by layer.
  const known = new Set(ofSurface.map(({ id }) => id))
  const byLayer = tracks
    .filter(({ id }) => !known.has(id))
    .map(
      ({ id, question, unit, values, from, to, decimals }): Paint => ({
        id,
        name: question,
        unit,
        from,
        to,
        decimals: Math.min(decimals, 1),
        quantity: { faceZ, values, from, to },
      }),
    )
  return [...ofSurface, ...byLayer]
})

/** What is laid over the figure now; null while it is not known or nothing was chosen. */
export const painted = computed(() => paints.value.find(({ id }) => id === paint.value) ?? null)
