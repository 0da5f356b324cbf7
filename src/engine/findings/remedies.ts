// Changes that rules propose for what is too thin: print larger, thicken the sculpt, lay narrower beads.

import type { RoomResults } from './results.ts'
import { remedy } from './rule.ts'
import type { Remedy } from './types.ts'

/** Largest growth that is still the same piece on a table: half as much again. */
const MOST_GROWTH = 1.5

const upTo = (value: number, step: number): number => Math.ceil(value / step - 1e-9) * step

/** Print larger, so that `thicknessMm` becomes `wantedMm`; null when that would be a different figure. */
export const printLarger = (results: RoomResults, thicknessMm: number, wantedMm: number): Remedy | null => {
  const share = wantedMm / thicknessMm
  if (!(share > 1 && share <= MOST_GROWTH)) return null
  const { soleToEyeMm } = results.settings
  if (Number.isNaN(soleToEyeMm)) {
    const to = upTo(share, 0.01)
    return remedy('larger', `print it ${to.toFixed(2)} times as large`, 'scaleShare', 1, to)
  }
  const to = upTo(soleToEyeMm * share, 0.5)
  return remedy('larger', `print at ${to} mm to the eye line`, 'soleToEyeMm', soleToEyeMm, to)
}

/** Thicken the sculpt so that `thicknessMm` becomes `wantedMm`. */
export const thicken = (results: RoomResults, thicknessMm: number, wantedMm: number): Remedy | null => {
  const more = upTo(wantedMm - thicknessMm, 0.05)
  if (!(more > 0)) return null
  const from = results.settings.thickenMm
  return remedy('thicker', `thicken the sculpt here by ${more.toFixed(2)} mm`, 'thickenMm', from, from + more)
}

/** Narrower beads, as from a finer nozzle. */
export const narrowerBeads = (results: RoomResults, thicknessMm: number): Remedy | null => {
  const { beadWidthMm } = results.settings
  const choice = [0.3, 0.25, 0.2].find((w) => w < beadWidthMm && w <= thicknessMm + 0.005)
  if (!choice) return null
  return remedy('finer', `lay beads of ${choice} mm from a finer nozzle`, 'beadWidthMm', beadWidthMm, choice)
}

/** Turns of the stance worth trying for what hangs or starts in the air, degrees about x, y, z. */
export const otherStances = (results: RoomResults): Remedy[] => {
  const [x, y, z] = results.settings.stanceDeg
  const turns: [string, string, [number, number, number]][] = [
    ['back', 'lay it on its back', [x - 90, y, z]],
    ['lean-back', 'lean it back by 45 degrees', [x - 45, y, z]],
    ['left', 'lay it on its left side', [x, y - 90, z]],
    ['right', 'lay it on its right side', [x, y + 90, z]],
    ['head', 'stand it on its head', [x + 180, y, z]],
  ]
  return turns.map(([id, label, to]) => remedy(id, label, 'stance', [x, y, z], to))
}

/** Thinner layers reach less far out on the same slope. */
export const thinnerLayers = (results: RoomResults): Remedy | null => {
  const { layerHeightMm } = results.settings
  const to = [0.12, 0.1, 0.08].find((h) => h < layerHeightMm - 0.005)
  return to ? remedy('layers', `lay layers of ${to} mm`, 'layerHeightMm', layerHeightMm, to) : null
}
