// The order in which the nozzle visits the pieces of a plate, layer after layer, and the threads that its ways between them may draw.
//
// An open way, as every other layer goes backwards: nearest next from each start, then pairs of steps exchanged while that shortens it.
// Threads: what pressure pushes out on the way, by the model of the melt room, against what a thread just seen needs.

import { oozedAfter, STRING_DEFAULTS } from '../engine/melt/index.ts'
import type { PlateTravels, TrayFigure, TrayPlace } from './types.ts'

const between = (a: TrayPlace, b: TrayPlace): number => Math.hypot(a.x - b.x, a.y - b.y)

/** Length of a way through places, mm. */
export const wayLength = (places: readonly TrayPlace[], order: readonly number[]): number => {
  let sum = 0
  for (let i = 1; i < order.length; i++) sum += between(places[order[i - 1]], places[order[i]])
  return sum
}

const nearestNext = (places: readonly TrayPlace[], start: number): number[] => {
  const left = new Set(places.keys())
  left.delete(start)
  const order = [start]
  while (left.size > 0) {
    const from = places[order[order.length - 1]]
    let [next, least] = [-1, Infinity]
    for (const i of left) {
      const d = between(from, places[i])
      if (d < least) [next, least] = [i, d]
    }
    left.delete(next)
    order.push(next)
  }
  return order
}

/** Turns parts of the way round while that makes it shorter. */
const shortened = (places: readonly TrayPlace[], given: readonly number[]): number[] => {
  const order = [...given]
  const n = order.length
  const d = (i: number, j: number): number => (i < 0 || j >= n ? 0 : between(places[order[i]], places[order[j]]))
  for (let round = 0; round < 50; round++) {
    let hasGained = false
    for (let i = 0; i < n - 1; i++)
      for (let j = i + 1; j < n; j++) {
        const before = d(i - 1, i) + d(j, j + 1)
        const after =
          (i > 0 ? between(places[order[i - 1]], places[order[j]]) : 0) +
          (j + 1 < n ? between(places[order[i]], places[order[j + 1]]) : 0)
        if (after > before - 1e-9) continue
        for (let a = i, b = j; a < b; a++, b--) [order[a], order[b]] = [order[b], order[a]]
        hasGained = true
      }
    if (!hasGained) break
  }
  return order
}

/** A short open way through all places. */
export const visitOrder = (places: readonly TrayPlace[]): number[] => {
  let best: number[] = []
  let least = Infinity
  const starts = Math.min(places.length, 12)
  for (let start = 0; start < starts; start++) {
    const order = shortened(places, nearestNext(places, start))
    const length = wayLength(places, order)
    if (length < least) [best, least] = [order, length]
  }
  return best
}

/** Ways between the pieces of a plate that is printed layer by layer. */
export const plateTravels = (figures: readonly TrayFigure[], places: readonly TrayPlace[]): PlateTravels => {
  const order = visitOrder(places)
  const { recipe, printer, filament } = figures[places[0].figure].settings
  const retractS = recipe.retractionMm > 0 ? (2 * recipe.retractionMm) / recipe.retractionSpeedMmPerS : 0
  let [nCrossings, airMm, nThreads, travelS] = [0, 0, 0, 0]
  const nLayers = Math.max(...places.map(({ figure }) => figures[figure].nLayers))
  for (let layer = 0; layer < nLayers; layer++) {
    const there = order.filter((i) => layer < figures[places[i].figure].nLayers)
    for (let i = 1; i < there.length; i++) {
      const [a, b] = [places[there[i - 1]], places[there[i]]]
      const way = between(a, b)
      const air = Math.max(0, way - figures[a.figure].layerRadiusMm[layer] - figures[b.figure].layerRadiusMm[layer])
      const seconds = way / recipe.travelSpeedMmPerS
      const rate = settingsRate(figures[a.figure])
      const { travellingMm3 } = oozedAfter(
        rate,
        seconds,
        printer.oozeTimeConstantS,
        { lengthMm: recipe.retractionMm, speedMmPerS: recipe.retractionSpeedMmPerS },
        filament.diameterMm,
        STRING_DEFAULTS.playMm,
      )
      nCrossings++
      airMm += air
      travelS += seconds + retractS
      if (travellingMm3 > (Math.PI / 4) * STRING_DEFAULTS.threadMm ** 2 * air) nThreads++
    }
  }
  return { order, wayMm: wayLength(places, order), nCrossings, airM: airMm / 1000, nThreads, travelS }
}

/** Volume rate at the end of a piece's layer, mm3/s: nominal bead at the mean of the set speeds. */
const settingsRate = ({ settings: { recipe, beadWidthMm, layerHeightMm } }: TrayFigure): number =>
  beadWidthMm * layerHeightMm * ((recipe.speedMmPerS + recipe.outerShellSpeedMmPerS) / 2)
