// How long a plate takes and what it uses: all pieces layer by layer, or one after another.
//
// Layer by layer: a layer's time is that of all its pieces without slow-down and the ways between them; where that is less than the least
// layer time, pieces are slowed as they would be alone, up to that time. Priming loops are laid once.

import { gramsPerMetre } from './filament-use.ts'
import type { PlatePrint, PlateTravels, TrayFigure, TrayPlace } from './types.ts'
import { plateTravels, visitOrder, wayLength } from './visit-order.ts'

/** Heating, start, cooling and removal of one plate, s, from the figure's own timeline. */
const aroundOf = ({ timeline: { totals } }: TrayFigure): number =>
  totals.heatingS + totals.startS + totals.coolingS + totals.removalS

/** Layer times of pieces printed together, s. @param travelS time of the ways between pieces in each layer */
export const sharedLayerTimes = (
  pieces: readonly Pick<TrayFigure, 'layerPureS' | 'layerAloneS'>[],
  leastLayerTimeS: number,
  travelS: (layer: number, nThere: number) => number,
): Float64Array => {
  const nLayers = Math.max(0, ...pieces.map(({ layerPureS }) => layerPureS.length))
  const times = new Float64Array(nLayers)
  for (let k = 0; k < nLayers; k++) {
    let [pure, alone, there] = [0, 0, 0]
    for (const { layerPureS, layerAloneS } of pieces) {
      if (k >= layerPureS.length) continue
      pure += layerPureS[k]
      alone += layerAloneS[k]
      there++
    }
    const ways = travelS(k, there)
    times[k] = Math.max(pure + ways, Math.min(leastLayerTimeS, alone + ways))
  }
  return times
}

const sums = (figures: readonly TrayFigure[], places: readonly TrayPlace[]): { massG: number; filamentM: number } => {
  const massG = places.reduce((sum, { figure }) => sum + figures[figure].massG, 0)
  const { filament } = figures[places[0].figure].settings
  return { massG, filamentM: massG / gramsPerMetre(filament.diameterMm, filament.densityGPerCm3) }
}

/** All pieces at once, layer by layer. */
export const printTogether = (figures: readonly TrayFigure[], places: readonly TrayPlace[]): PlatePrint => {
  const travels = plateTravels(figures, places)
  const perCrossing = travels.nCrossings > 0 ? travels.travelS / travels.nCrossings : 0
  const pieces = places.map(({ figure }) => figures[figure])
  const { leastLayerTimeS } = pieces[0].settings.recipe
  const layerS = sharedLayerTimes(pieces, leastLayerTimeS, (_, there) => Math.max(0, there - 1) * perCrossing)
  const printS = layerS.reduce((a, b) => a + b, 0)
  const aroundS = aroundOf(pieces[0])
  return {
    way: 'together',
    printS,
    aroundS,
    totalS: printS + aroundS,
    ...sums(figures, places),
    layerS,
    travels,
    order: travels.order,
  }
}

const NO_TRAVELS = { nCrossings: 0, airM: 0, nThreads: 0, travelS: 0 }

/** One piece after another: low ones first, so that the head passes over as little as possible; a short way among alike. */
export const printInTurn = (figures: readonly TrayFigure[], places: readonly TrayPlace[]): PlatePrint => {
  const heights = [...new Set(places.map(({ figure }) => figures[figure].heightMm))].sort((a, b) => a - b)
  const order = heights.flatMap((height) => {
    const mine = [...places.keys()].filter((i) => figures[places[i].figure].heightMm === height)
    return visitOrder(mine.map((i) => places[i])).map((k) => mine[k])
  })
  const printS = places.reduce((sum, { figure }) => sum + figures[figure].timeline.totals.printS, 0)
  const aroundS = aroundOf(figures[places[0].figure])
  const travels: PlateTravels = { order, wayMm: wayLength(places, order), ...NO_TRAVELS }
  return {
    way: 'in turn',
    printS,
    aroundS,
    totalS: printS + aroundS,
    ...sums(figures, places),
    layerS: new Float64Array(0),
    travels,
    order,
  }
}
