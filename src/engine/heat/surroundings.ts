// What surrounds the cells: loss to air by the width of the piece and the fan, free tops and undersides, heater block, bed.

import { convectionWPerM2K, radiationWPerM2K, seesDisc } from './air.ts'
import type { HeatConditions, HeatOptions } from './conditions.ts'
import type { HeatField } from './field.ts'
import type { Pieces } from './find-pieces.ts'
import type { RowReach } from './zone.ts'

/** Widths are kept in classes, 12 to a factor of ten, from 0.1 to 100 mm. */
const PER_TEN = 12
const N_CLASSES = 3 * PER_TEN + 1
const classOf = (widthMm: number): number =>
  Math.min(N_CLASSES - 1, Math.max(0, Math.round(PER_TEN * Math.log10(widthMm / 0.1))))
const widthOf = (k: number): number => 0.1 * 10 ** (k / PER_TEN)

/** Surface temperature that the properties of air and radiation are taken for, deg C. */
const SURFACE_C = 65

export interface Surroundings {
  /** Convection and radiation of a piece, W/(mm2 K), for the present fan. */
  readonly convection: (piece: number) => number
  readonly radiation: number
  /** Sets the loss of a cell from what is round it now. */
  readonly expose: (cell: number) => void
  /** The same for all cells of the first layers. */
  readonly exposeAll: (nLayers: number) => void
  /** True when the air's speed has changed enough to expose every cell anew. */
  readonly setFan: (share: number) => boolean
  /** Share of the sky of a free top that the heater block fills, by distance from the nozzle. */
  readonly seesBlock: (asideMm: number) => number
  /** Radiation at the nozzle's temperature onto what is right under it, W/(mm2 K). */
  readonly tip: number
}

export const surroundingsOf = (
  field: HeatField,
  pieces: Pieces,
  conditions: HeatConditions,
  options: HeatOptions,
  { first, last }: RowReach,
): Surroundings => {
  const { printer, filament } = conditions
  const full = Number.isNaN(options.airMPerS) ? printer.fanAirMPerS : options.airMPerS
  const byClass = new Float64Array(N_CLASSES)
  let fan = Number.NaN
  const setFan = (share: number): boolean => {
    if (Math.abs(share - fan) < 0.01) return false
    fan = share
    for (let k = 0; k < N_CLASSES; k++)
      byClass[k] = convectionWPerM2K(widthOf(k), full * share, SURFACE_C, options.roomC) * 1e-6
    return true
  }
  setFan(0)
  const { emissivityShare } = filament
  const nozzleC = conditions.recipe.nozzleC
  const radiation = radiationWPerM2K(emissivityShare, SURFACE_C, options.roomC) * 1e-6
  const classes = Uint8Array.from(pieces.widthMm, classOf)
  const { fill, loss, radiation: radiating, cellMm } = field
  const down = field.nX * field.nY
  const square = cellMm * cellMm
  const expose = (cell: number): void => {
    const f = fill[cell]
    if (f === 0) return
    const covered = cell + down < fill.length ? fill[cell + down] : 0
    const below = cell >= down ? fill[cell - down] : 1
    const share = f < 1 ? f : 1
    const top = square * Math.max(0, share - covered)
    const under = square * Math.max(0, share - below)
    const area = pieces.outsideMm2[cell] + options.insideShare * pieces.insideMm2[cell] + top + under
    const r = area * radiation
    radiating[cell] = r
    loss[cell] = r + area * byClass[classes[pieces.of[cell]]]
  }
  return {
    convection: (piece) => byClass[classes[piece]],
    radiation,
    expose,
    exposeAll: (nLayers) => {
      const { nX, nY } = field
      for (let r = 0; r < nLayers * nY; r++)
        for (let cell = r * nX + first[r], end = r * nX + last[r]; cell <= end; cell++) expose(cell)
    },
    setFan,
    seesBlock: (asideMm) => seesDisc(printer.blockWidthMm / 2, printer.blockHeightMm, asideMm),
    tip: radiationWPerM2K(emissivityShare, nozzleC, SURFACE_C) * 1e-6,
  }
}
