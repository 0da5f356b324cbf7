// What a plastic and a machine's air do to a thin post: the numbers by which heat is carried over from one recipe to another.
//
// Model: a post of 3 mm in the fan's air. Its warmth falls with h P / (rho c A) (lumped), its top follows the growing column; both are
// taken as ratios only. Source: Incropera 5.1; moving fin (Nellis & Klein, Heat Transfer, 1.7). Limit: one size of part.

import { convectionWPerM2K, growingColumnLeastS, radiationWPerM2K } from '../engine/heat/index.ts'
import type { FilamentCard, Recipe } from '../recipe/index.ts'
import type { Cards } from './types.ts'

/** Width of the post, mm, and the room, deg C. */
const POST_MM = 3
const ROOM_C = 25

/** Enthalpy between two temperatures over the difference, J/(kg K). */
export const meanCapacity = ({ heatCapacityJPerKgK: table }: FilamentCard, fromC: number, toC: number): number => {
  const at = (celsius: number): number => {
    const next = table.findIndex(([t]) => t >= celsius)
    if (next === 0) return table[0][1]
    if (next < 0) return table[table.length - 1][1]
    const [t0, c0] = table[next - 1]
    const [t1, c1] = table[next]
    return c0 + ((c1 - c0) * (celsius - t0)) / (t1 - t0)
  }
  const stops = [fromC, ...table.map(([t]) => t).filter((t) => t > fromC && t < toC), toC]
  let sum = 0
  for (let i = 1; i < stops.length; i++) sum += ((at(stops[i]) + at(stops[i - 1])) / 2) * (stops[i] - stops[i - 1])
  return sum / Math.max(1e-9, toC - fromC)
}

/** Side loss of the post, W/(m2 K), half way between softening and room. */
export const postLoss = ({ printer, filament }: Cards, fanShare: number): number => {
  const at = Math.max(ROOM_C + 5, filament.softeningFromC)
  return (
    convectionWPerM2K(POST_MM, fanShare * printer.fanAirMPerS, at, ROOM_C) +
    radiationWPerM2K(filament.emissivityShare, at, ROOM_C)
  )
}

/** Time in which the post falls from the nozzle's temperature to the lower softening temperature, s. */
export const coolingS = (cards: Cards, nozzleC: number, fanShare: number): number => {
  const { filament } = cards
  const soft = Math.max(ROOM_C + 5, filament.softeningFromC)
  const volumeHeat = filament.densityGPerCm3 * 1000 * meanCapacity(filament, soft, nozzleC)
  const perS = (postLoss(cards, fanShare) * 4) / (volumeHeat * POST_MM * 1e-3)
  return Math.log((nozzleC - ROOM_C) / (soft - ROOM_C)) / perS
}

/** Layer time at which the top of the growing post just comes down to the lower softening temperature, s. */
export const heatTimeS = (cards: Cards, recipe: Recipe): number => {
  const { filament } = cards
  const soft = Math.max(ROOM_C + 5, filament.softeningFromC)
  const conductivity = filament.conductivityWPerMK * 1e-3
  const volumeHeat = filament.densityGPerCm3 * 1e-3 * meanCapacity(filament, ROOM_C, recipe.nozzleC) * 1e-3
  return growingColumnLeastS(
    {
      widthMm: POST_MM,
      layerMm: recipe.layerHeightMm,
      lossWPerMm2K: postLoss(cards, recipe.fanShare) * 1e-6,
      conductivity,
      alpha: conductivity / volumeHeat,
    },
    (soft - ROOM_C) / (recipe.nozzleC - ROOM_C),
  )
}

/** Fan share with which the post cools as fast as wanted, 0-1; the nearest end where none does. */
export const fanForCooling = (cards: Cards, nozzleC: number, wantedS: number): number => {
  if (coolingS(cards, nozzleC, 1) >= wantedS) return 1
  if (coolingS(cards, nozzleC, 0) <= wantedS) return 0
  let slow = 0
  let fast = 1
  for (let i = 0; i < 50; i++) {
    const mid = (slow + fast) / 2
    if (coolingS(cards, nozzleC, mid) > wantedS) slow = mid
    else fast = mid
  }
  return fast
}
