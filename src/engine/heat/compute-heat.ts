// The temperature of the whole figure while it is laid, bead by bead.
//
// Cells of plastic arrive at the nozzle's temperature when the nozzle is there; heat passes between cells, to the air by the width of each
// piece, to the bed, and comes from the nozzle. Layers below the nozzle move in short steps, deeper ones in longer ones (see bands.ts);
// nothing is frozen. Enthalpy is carried, so that laid + nozzle + bed = stored + lost whatever the steps.

import type { BeadPlan } from '../beads/index.ts'
import { breathe, partOf, type Task } from '../kernel/index.ts'
import type { Timeline } from '../timing/index.ts'
import { createBands } from './bands.ts'
import { blockOver } from './block-over.ts'
import { closePasses, createRecord, followCells, markSoft, openPass, slotOf } from './cell-record.ts'
import { HEAT_DEFAULTS, type HeatConditions, type HeatOptions } from './conditions.ts'
import { addPlastic, createField, storedJ } from './field.ts'
import { findPieces } from './find-pieces.ts'
import { ordinaryHealing, type PassHealing, passHealing } from './healing.ts'
import { celsiusOf, keepStates, stateBelow } from './heat-states.ts'
import { layCells } from './lay-cells.ts'
import { nozzleOver } from './nozzle.ts'
import { enthalpyAt, enthalpyTable, meanHeatCapacity } from './plastic.ts'
import { quickHeatOf } from './quick-heat.ts'
import { sweepRoom } from './step-field.ts'
import { startStepKernels } from './step-kernels.ts'
import { sumUp } from './sum-up.ts'
import { surroundingsOf } from './surroundings.ts'
import type { EnergyBalance, HeatResult, HeatWindow } from './types.ts'
import { rowReach } from './zone.ts'

/** Shortest step near the nozzle, s: the order in which the nozzle crosses a cell. */
const SHORTEST_S = 0.02

const assumptions = (options: HeatOptions, airMPerS: number): string[] => [
  `Air at the part moves at ${airMPerS} m/s with the fan full; the quick answer shows 0.5 to 5 m/s.`,
  `Cells of ${options.cellMm} mm, one cell a layer; steps of at most ${options.longestStepS} s near the nozzle.`,
  `The room and the air have ${options.roomC} deg C; the bed hands over ${options.bedContactWPerM2K} W/(m2 K).`,
  'Plastic arrives at the set nozzle temperature; priming loops and other figures on the bed warm nothing.',
  'No heat of fusion: plastic that cools this fast does not crystallise.',
  `Walls round hollows cool at ${Math.round(100 * options.insideShare)} % of outer ones.`,
]

/** Plastic below the heights asked about that a window follows too, mm. */
const WINDOW_BELOW_MM = 3

/**
 * Temperatures, softening, healing and the energy balance of a whole figure.
 * @param window only these heights and 3 mm below, started from what another run of the figure has kept
 */
export const computeHeat = async (
  plan: BeadPlan,
  timeline: Timeline,
  conditions: HeatConditions,
  options: Partial<HeatOptions> = {},
  task?: Task,
  window?: HeatWindow,
): Promise<HeatResult> => {
  // Who asks for a window has asked the layer model for the whole height already.
  const settings: HeatOptions = { ...HEAT_DEFAULTS, ...options, ...(window ? { timesToo: false } : {}) }
  const { filament, recipe } = conditions
  const laid = await layCells(plan, timeline, settings.cellMm, partOf(task, 0, 0.08))
  const pieces = findPieces(plan, laid)
  await breathe(task)
  const { grid } = laid
  const { nLayers: nZ } = grid
  const table = enthalpyTable(filament.heatCapacityJPerKgK)
  const rows = [grid.nX + 2, grid.nY + 2] as const
  const reach = rowReach(laid.fill, rows[0], rows[1], nZ)
  const kernels = settings.startWasm && (await startStepKernels(settings.startWasm, reach, rows[0], rows[1], table))
  const field = createField(
    {
      nX: grid.nX,
      nY: grid.nY,
      cellMm: grid.cellMm,
      layerMm: plan.layerHeight,
      densityGPerCm3: filament.densityGPerCm3,
      conductivityWPerMK: filament.conductivityWPerMK,
      table,
      airC: settings.roomC,
    },
    kernels,
  )
  const square = grid.cellMm * grid.cellMm
  const half = plan.layerHeight[0] / 2
  field.bedW = square / (1 / (settings.bedContactWPerM2K * 1e-6) + half / field.conductivity)
  const around = surroundingsOf(field, pieces, conditions, settings, reach)
  const record = createRecord(field, reach, filament.softeningFromC)
  const room = sweepRoom()
  const bands = createBands(field, reach, room, (zone, dt) => followCells(field, zone, record, dt))
  const keeper = keepStates(field, reach, grid, plan.layerTopZ)

  const nozzleAt = (layer: number): number =>
    Number.isFinite(plan.nozzleC[layer]) ? plan.nozzleC[layer] : recipe.nozzleC
  const meanCp = meanHeatCapacity(table, filament.glassTransitionC, recipe.nozzleC)
  const alpha = filament.conductivityWPerMK / (filament.densityGPerCm3 * 1e-3 * meanCp)
  const zero = enthalpyAt(table, settings.roomC)
  const nozzle = { contactJ: 0, gapJ: 0, radiationJ: 0 }
  let laidJ = 0
  const nozzleContactShare = new Float64Array(nZ)
  const nozzleGapShare = new Float64Array(nZ)
  const nozzleRadiationShare = new Float64Array(nZ)
  const { nX } = field
  const nColumns = field.nX * field.nY
  const topZ = plan.layerTopZ
  const block = blockOver(field, around, topZ)
  let next = 0
  /** Column where the nozzle was last. */
  let nozzleAtColumn = (nX >> 1) + (field.nY >> 1) * nX
  let healing: PassHealing | null = null

  const land = (e: number, layer: number): void => {
    const cell = laid.cell[e]
    const volume = laid.volume[e]
    const nozzleC = nozzleAt(layer)
    const column = cell - layer * nColumns
    nozzleAtColumn = column
    const first = field.fill[cell] === 0
    if (first) openPass(field, record, cell, healing)
    const belowC = layer === 0 ? field.bedC : field.fill[cell - nColumns] > 0 ? field.celsius[cell - nColumns] : nozzleC
    const extra = nozzleOver(
      field,
      around,
      conditions,
      alpha,
      { cell, volume, overS: laid.overS[e], speed: timeline.meanSpeed[laid.bead[e]], nozzleC, belowC },
      nozzle,
    )
    const jPerG = enthalpyAt(table, nozzleC)
    const mass = volume * field.density
    laidJ += mass * (jPerG - zero)
    addPlastic(field, cell, volume, jPerG + extra / mass)
    around.expose(cell)
    if (layer > 0) around.expose(cell - nColumns)
    block.lay(column, layer)
  }

  /** Warms the free tops near the nozzle and moves the bands. */
  const advance = (dt: number, layer: number): void => {
    nozzle.radiationJ += block.warmTops(nozzleAtColumn, nozzleAt(layer), dt)
    bands.step(dt)
  }

  /** Puts what a kept state knows into the field. */
  const takeOver = (): number => {
    const state = window && stateBelow(window.states, window.fromMm - WINDOW_BELOW_MM)
    if (!window || !state) return 0
    let begins = 0
    while (begins < nZ - 1 && topZ[begins] <= state.topZ + 1e-6) begins++
    const known: number[] = []
    let layer = -1
    let mean = settings.roomC
    for (; next < laid.nLandings && laid.cell[next] < begins * nColumns; next++) {
      const cell = laid.cell[next]
      const at = Math.floor(cell / nColumns)
      if (at !== layer) {
        // Places that the other run does not know get the mean of the layer below.
        if (known.length > 0) mean = known.reduce((a, b) => a + b) / known.length
        known.length = 0
        layer = at
      }
      const column = cell - at * nColumns
      const x = grid.x0 + ((column % nX) - 0.5) * grid.cellMm
      const y = grid.y0 + (Math.floor(column / nX) - 0.5) * grid.cellMm
      const celsius = celsiusOf(window.states, state, x, y, topZ[at])
      if (!Number.isNaN(celsius)) known.push(celsius)
      addPlastic(field, cell, laid.volume[next], enthalpyAt(table, Number.isNaN(celsius) ? mean : celsius))
      block.lay(column, at)
    }
    around.exposeAll(begins)
    markSoft(field, record, begins * nColumns, reach)
    laidJ = storedJ(field, settings.roomC)
    return begins
  }
  const firstLayer = takeOver()
  let lastLayer = nZ - 1
  if (window) while (lastLayer > firstLayer && topZ[lastLayer - 1] >= window.toMm - 1e-9) lastLayer--

  for (let layer = firstLayer; layer <= lastLayer; layer++) {
    if (!window) keeper.at(layer)
    field.bedC = Number.isFinite(plan.bedC[layer]) ? plan.bedC[layer] : recipe.bedC
    const before = { ...nozzle, laidJ }
    if (around.setFan(plan.fanShare[layer])) around.exposeAll(Math.min(nZ, layer + 1))
    const from = timeline.layerS[layer]
    const seconds = timeline.layerS[layer + 1] - from
    bands.setTop(layer, seconds)
    block.begin(layer, bands.near.from)
    const piece = pieces.layerStart[layer]
    if (layer > 0 && pieces.layerStart[layer + 1] > piece) {
      const width = pieces.widthMm[piece]
      healing = passHealing(
        filament,
        {
          layerMm: plan.layerHeight[layer],
          nozzleC: nozzleAt(layer),
          alpha,
          untilS: seconds,
          sideRate: (4 * alpha * (around.convection(piece) + around.radiation)) / (field.conductivity * width),
        },
        settings.roomC,
      )
    }
    const n = Math.max(
      1,
      Math.ceil(seconds / Math.min(settings.longestStepS, Math.max(SHORTEST_S, seconds / settings.stepsPerLayer))),
    )
    const dt = seconds / n
    for (let s = 0; s < n && dt > 0; s++) {
      // Landings go to the nearest step, so that on the whole they are neither early nor late.
      const until = from + (s + 0.5) * dt
      while (next < laid.nLandings && laid.timeS[next] < until && laid.cell[next] < (layer + 1) * nColumns)
        land(next++, layer)
      advance(dt, layer)
      if (s % 16 === 15) await breathe(task)
    }
    while (next < laid.nLandings && laid.cell[next] < (layer + 1) * nColumns) land(next++, layer)
    for (let c = 0; c < nColumns; c++)
      if (block.top[c] === layer)
        record.endC[slotOf(record, layer * nColumns + c)] = field.celsius[layer * nColumns + c]
    const own = laidJ - before.laidJ
    if (own > 0) {
      nozzleContactShare[layer] = (nozzle.contactJ - before.contactJ) / own
      nozzleGapShare[layer] = (nozzle.gapJ - before.gapJ) / own
      nozzleRadiationShare[layer] = (nozzle.radiationJ - before.radiationJ) / own
    }
    task?.onProgress?.(0.08 + (0.87 * (layer + 1 - firstLayer)) / (lastLayer + 1 - firstLayer), 'following the heat')
    await breathe(task)
  }
  // The figure cools on: steps grow.
  for (
    let s = 0, dt = 0.1;
    s < settings.afterS && nZ > 0 && !window;
    s += dt, dt = Math.min(2, dt * 1.15, settings.afterS - s + 1e-9)
  ) {
    bands.step(dt)
    await breathe(task)
  }
  bands.catchUp()
  closePasses(field, record, reach)

  const { beads, layers } = sumUp(plan, laid, pieces, record, filament.softeningToC, timeline.layerRealS)
  const quick = quickHeatOf(plan, timeline, conditions, pieces, settings)
  const { convectedJ, radiatedJ, bedJ } = field.sums
  const stored = storedJ(field, settings.roomC)
  const came = laidJ + nozzle.contactJ + nozzle.gapJ + nozzle.radiationJ
  const energy: EnergyBalance = {
    laidJ,
    nozzleContactJ: nozzle.contactJ,
    nozzleGapJ: nozzle.gapJ,
    nozzleRadiationJ: nozzle.radiationJ,
    bedJ,
    convectedJ,
    radiatedJ,
    storedJ: stored,
    // Not a number is told as such: it is no balance.
    imbalanceShare: came === 0 ? 0 : (came + bedJ - convectedJ - radiatedJ - stored) / came,
  }
  task?.onProgress?.(1, 'following the heat')
  return {
    kind: 'heat',
    grid,
    softFromC: filament.softeningFromC,
    softToC: filament.softeningToC,
    glassC: filament.glassTransitionC,
    beads,
    layers,
    quick,
    energy,
    nozzleContactShare,
    nozzleGapShare,
    nozzleRadiationShare,
    ordinaryHealing: ordinaryHealing(filament, alpha),
    followed: [firstLayer, lastLayer],
    states: keeper.states,
    nUpdates: field.sums.nUpdates,
    assumed: assumptions(settings, quick.airMPerS),
  }
}
