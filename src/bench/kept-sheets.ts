// Finished sheets, so that walking the history shows them at once; the oldest go when there are too many or they take too much room.

import { type Step, stepKey } from './history.ts'
import type { SheetParts } from './messages.ts'

const MOST_SHEETS = 6
const MOST_BYTES = 160 * 2 ** 20

/** Bytes of all arrays of numbers in a value; what else it holds is small beside them. */
export const bytesOfArrays = (value: unknown, depth = 5): number => {
  if (ArrayBuffer.isView(value)) return value.byteLength
  if (depth === 0 || typeof value !== 'object' || value === null) return 0
  let sum = 0
  for (const inside of Array.isArray(value) ? value : Object.values(value)) sum += bytesOfArrays(inside, depth - 1)
  return sum
}

const kept = new Map<string, { readonly parts: SheetParts; readonly nBytes: number }>()

/** The finished sheet of a step, where it is still kept. */
export const keptSheet = (step: Step): SheetParts | null => kept.get(stepKey(step))?.parts ?? null

/** Keeps a finished sheet. */
export const keepSheet = (step: Step, parts: SheetParts): void => {
  const key = stepKey(step)
  kept.delete(key)
  kept.set(key, { parts, nBytes: bytesOfArrays(parts) })
  let total = 0
  for (const { nBytes } of kept.values()) total += nBytes
  for (const [oldest, { nBytes }] of kept) {
    if (kept.size === 1 || (kept.size <= MOST_SHEETS && total <= MOST_BYTES)) break
    kept.delete(oldest)
    total -= nBytes
  }
}
