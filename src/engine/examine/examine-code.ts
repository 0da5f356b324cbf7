// Examines a print file by its own words: beads, times, balance, feed and melt, and what it does otherwise than the plan.

import type { Recipe } from '../../recipe/index.ts'
import { type BeadPlan, beadArea, roleIndex } from '../beads/index.ts'
import type { PrintResults } from '../findings/index.ts'
import { breathe, good, type Outcome, type PolygonKit, partOf, type Task } from '../kernel/index.ts'
import {
  balanceOf,
  diffusivityOf,
  findStrings,
  gearPasses,
  laidField,
  type MeltBalance,
  meltLimit,
  type StringReport,
} from '../melt/index.ts'
import { type CodeOptions, type CodeReading, type InferredBeads, inferBeads, readCode } from '../motioncode/index.ts'
import { type LayerStack, layerArea } from '../sections/index.ts'
import { machineFit, type Timeline, timeBeads } from '../timing/index.ts'
import type { CodeExamination, CodeReport, OutlineSource } from './code-types.ts'
import { compareCode } from './compare-code.ts'
import { isOfFigure, layerFacts, lengthOf, sumRoles } from './layer-facts.ts'
import { outlinesOfBeads, outlinesOfFigure, risesSteadily } from './outlines-of-beads.ts'
import { meanHeatCapacity } from './run-print.ts'
import { recipeInForce } from './settings.ts'
import type { ExamineSettings } from './types.ts'

/** The figure that the file is meant to print, when it is known. */
export interface CodeFigure {
  readonly layers: LayerStack
  readonly print: PrintResults
}

const OUTER = roleIndex('outer shell')
const INFILL = roleIndex('infill')

/** Middle value; NaN of nothing. */
const medianOf = (values: readonly number[]): number => {
  const sorted = Float64Array.from(values).sort()
  return sorted.length > 0 ? sorted[sorted.length >> 1] : Number.NaN
}

/** Plastic as laid over plastic as the widths say: the flow share that the file's own words set. */
const flowShareOf = (plan: BeadPlan): number => {
  let laid = 0
  let nominal = 0
  for (let b = 0; b < plan.nBeads; b++) {
    const length = lengthOf(plan, b)
    if (length < 1e-6) continue
    laid += plan.volume[b]
    nominal += length * beadArea(plan.width[b], plan.height[b])
  }
  const share = nominal > 0 ? laid / nominal : 1
  return Math.abs(share - 1) < 0.002 ? 1 : Number(share.toFixed(4))
}

/** Share of the open inside that infill takes, in the middle of the layers that have some; 0.5 when there are none. */
const infillShareOf = (plan: BeadPlan, stack: LayerStack): number => {
  const shares: number[] = []
  for (let layer = 0; layer < plan.nLayers; layer++) {
    let infill = 0
    let other = 0
    for (let b = plan.layerStart[layer]; b < plan.layerStart[layer + 1]; b++) {
      if (plan.role[b] === INFILL) infill += plan.volume[b]
      else if (isOfFigure(plan, b)) other += plan.volume[b]
    }
    const inside = layerArea(stack, layer) * plan.layerHeight[layer] - other
    if (infill > 0 && inside > 0) shares.push(infill / inside)
  }
  return shares.length > 0 ? Math.min(1, Math.max(0.05, medianOf(shares))) : 0.5
}

/** First temperature that the file sets from a layer on; NaN when it sets none. A temperature of 0 means off. */
const firstSet = (values: Float32Array, from = 0): number => {
  for (let i = from; i < values.length; i++) if (values[i] > 0) return values[i]
  return Number.NaN
}
const setOr = (value: number, otherwise: number): number => (Number.isNaN(value) ? otherwise : value)

/** The recipe as far as the file overrides it. */
const recipeOfFile = ({ nozzleC, bedC, nLayers }: BeadPlan, recipe: Recipe): Recipe => ({
  ...recipe,
  firstLayerNozzleC: setOr(firstSet(nozzleC), recipe.firstLayerNozzleC),
  nozzleC: setOr(firstSet(nozzleC, nLayers >> 1), recipe.nozzleC),
  bedC: setOr(firstSet(bedC), recipe.bedC),
})

const assumedOf = ({ plan, acceleration, cornerSpeed }: InferredBeads, settings: ExamineSettings): string[] => {
  const { recipe, filament: spool } = settings
  const assumed = [`The filament is ${spool.diameterMm} mm thick: widths and grams follow from that.`]
  if (!acceleration) assumed.push(`The file sets no acceleration: ${recipe.accelerationMmPerS2} mm/s2 is taken.`)
  if (!cornerSpeed) assumed.push(`The file sets no corner speed: ${recipe.cornerSpeedMmPerS} mm/s is taken.`)
  if (Number.isNaN(firstSet(plan.nozzleC)))
    assumed.push(`The file sets no nozzle temperature: ${recipe.nozzleC} deg C is taken.`)
  return assumed
}

/** Median set speeds above the first layer: outer shells, and all other beads. */
const speedsOf = (plan: BeadPlan): Pick<CodeReport, 'outerSpeedMmPerS' | 'otherSpeedMmPerS'> => {
  const outer: number[] = []
  const other: number[] = []
  for (let b = plan.nLayers > 1 ? plan.layerStart[1] : 0; b < plan.nBeads; b++) {
    if (plan.beadStart[b + 1] - plan.beadStart[b] < 2) continue
    if (plan.role[b] === OUTER) outer.push(plan.speed[b])
    else other.push(plan.speed[b])
  }
  return { outerSpeedMmPerS: medianOf(outer), otherSpeedMmPerS: medianOf(other) }
}

/** Outlines to weigh the plastic against, whose they are, or why there are none. */
interface Outlines {
  readonly stack: LayerStack | null
  readonly outlines: OutlineSource | null
  readonly leftOut: readonly string[]
}

const outlinesFor = async (
  { plan, placement }: InferredBeads,
  figureLayers: LayerStack | null,
  kit: PolygonKit | null,
  task?: Task,
): Promise<Outlines> => {
  const known = figureLayers && placement ? outlinesOfFigure(plan, figureLayers, placement) : null
  if (known) return { stack: known, outlines: 'the figure', leftOut: [] }
  const leftOut =
    figureLayers && placement
      ? [
          "The figure's layers are not those of the file: plastic is weighed against outlines that its own shells imply.",
        ]
      : []
  if (!risesSteadily(plan))
    return {
      stack: null,
      outlines: null,
      leftOut: [
        ...leftOut,
        'Balance and strings are left out: the layers of this file do not stand one on the other; it builds several things or leaves heights out.',
      ],
    }
  if (!kit)
    return {
      stack: null,
      outlines: null,
      leftOut: [...leftOut, 'Balance and strings are left out: there are no outlines to weigh the plastic against.'],
    }
  return { stack: await outlinesOfBeads(plan, kit, task), outlines: 'the shells of the file', leftOut }
}

/** Cells of the balance's grids that are held at once: 22 bytes each. */
const MOST_CELLS = 30_000_000

/** Cells of half a bead in the layers' own rectangles. */
const cellsOf = ({ points, loopStart, layerStart, nLayers }: LayerStack, cellMm: number): number => {
  let cells = 0
  for (let layer = 0; layer < nLayers; layer++) {
    const low = [Infinity, Infinity]
    const high = [-Infinity, -Infinity]
    for (let i = 2 * loopStart[layerStart[layer]]; i < 2 * loopStart[layerStart[layer + 1]]; i++) {
      low[i % 2] = Math.min(low[i % 2], points[i])
      high[i % 2] = Math.max(high[i % 2], points[i])
    }
    if (high[0] > low[0]) cells += ((high[0] - low[0]) * (high[1] - low[1])) / (cellMm * cellMm)
  }
  return cells
}

/** Balance and strings against outlines. */
const weigh = async (
  plan: BeadPlan,
  stack: LayerStack,
  timeline: Timeline,
  flowShare: number,
  { filament, printer }: ExamineSettings,
  task?: Task,
): Promise<{ balance: MeltBalance; strings: StringReport }> => {
  const field = await laidField(plan, stack, flowShare, infillShareOf(plan, stack), task)
  await breathe(task)
  const feed = { flowShare, filamentMm: filament.diameterMm, diameterErrorMm: 0 }
  const balance = balanceOf(field, plan, stack, feed)
  await breathe(task)
  const options = { filamentMm: filament.diameterMm, oozeTimeConstantS: printer.oozeTimeConstantS }
  return { balance, strings: findStrings(plan, stack, balance, timeline, options) }
}

/**
 * Examines a reading of a print file.
 * @param settings cards and recipe: limits of the machine, density and diameter of the filament. The recipe fills in only what the
 *   file does not set itself.
 * @param figure outlines and plan to compare with, or null
 * @param kit polygon library, for outlines from the file's own shells; without it and without a fitting figure the balance is left out
 */
export const examineCode = async (
  reading: CodeReading,
  name: string,
  settings: ExamineSettings,
  figure: CodeFigure | null,
  task?: Task,
  kit: PolygonKit | null = null,
): Promise<Outcome<CodeExamination>> => {
  const { printer, filament: spool } = settings
  task?.onProgress?.(0, 'finding beads')
  const inferred = await inferBeads(
    reading,
    { filamentDiameterMm: spool.diameterMm, stack: figure?.layers ?? null },
    partOf(task, 0, 0.5),
  )
  if (!inferred.ok) return inferred
  const beads = inferred.value
  const { plan, acceleration, cornerSpeed } = beads
  await breathe(task)
  const recipe = recipeOfFile(plan, recipeInForce(settings))
  // The writer of the file has slowed its layers already; what it sets for single beads is followed.
  const timeline = await timeBeads(
    plan,
    { printer, filament: spool, recipe },
    { slowDown: false, ...(acceleration ? { acceleration } : {}), ...(cornerSpeed ? { cornerSpeed } : {}) },
    partOf(task, 0.5, 0.65),
  )
  const gear = gearPasses(plan, spool.diameterMm, spool.mostGearPasses, [])
  const limit = meltLimit(plan, timeline, {
    filamentMm: spool.diameterMm,
    meltZoneMm: printer.meltZoneMm,
    diffusivity: diffusivityOf(
      spool.conductivityWPerMK,
      spool.densityGPerCm3,
      meanHeatCapacity({ ...settings, recipe }),
    ),
    cardMm3PerS: printer.meltLimitMm3PerS,
  })
  await breathe(task)
  const flowShare = flowShareOf(plan)
  const found = await outlinesFor(beads, figure?.layers ?? null, kit, partOf(task, 0.65, 0.8))
  const { stack } = found
  const roles = sumRoles(plan)
  const cellMm = (roles.find(({ role }) => role === 'outer shell')?.widthMm || 0.4) / 2
  const isTooBig = stack !== null && cellsOf(stack, cellMm) > MOST_CELLS
  const outlines = isTooBig ? null : found.outlines
  const leftOut = isTooBig
    ? [...found.leftOut, 'Balance and strings are left out: the print is too big to weigh every place of it.']
    : found.leftOut
  const weighed =
    stack && !isTooBig ? await weigh(plan, stack, timeline, flowShare, settings, partOf(task, 0.8, 0.97)) : null
  const volumeMm3 = plan.volume.reduce((a, b) => a + b, 0)
  const { conductionMm3PerS, cardMm3PerS, layerMost, nBeadsOver } = limit
  const known: Omit<CodeExamination, 'differences'> = {
    kind: 'code-examination',
    name,
    nBytes: reading.nBytes,
    nLines: reading.nLines,
    nWords: reading.nWords,
    nMoves: reading.moves.n,
    nArcs: reading.nArcs,
    plan,
    timeline,
    fit: machineFit(plan, printer),
    gear,
    limit,
    roles,
    volumeMm3,
    massG: (volumeMm3 * spool.densityGPerCm3) / 1000,
    primedMm3: beads.primedMm3,
    nRetractions: plan.retraction.reduce((n, r) => n + (r > 0 ? 1 : 0), 0),
    certainty: beads.certainty,
    placement: beads.placement,
    unknown: reading.unknown,
    notFollowed: reading.notFollowed,
    malformed: reading.malformed,
    nMalformed: reading.nMalformed,
    decisions: reading.decisions,
    assumed: assumedOf(beads, settings),
    layers: layerFacts(plan, timeline),
    times: timeline.totals,
    flowShare,
    ...speedsOf(plan),
    nozzleC: firstSet(plan.nozzleC, plan.nLayers >> 1),
    bedC: firstSet(plan.bedC),
    fanShare: plan.fanShare[plan.nLayers >> 1],
    outlines,
    balance: weighed?.balance ?? null,
    strings: weighed?.strings ?? null,
    melt: { conductionMm3PerS, cardMm3PerS, layerMost, nBeadsOver },
    leftOut,
    roleSure: beads.roleSure,
    line: beads.line,
    stack,
  }
  task?.onProgress?.(1, 'comparing with the plan')
  return good({ ...known, differences: figure ? compareCode(figure.print, known) : null }, inferred.notes)
}

/** Reads and examines a file from memory; notes of the reading come first. Big files are read with createCodeReader, piece by piece. */
export const examineCodeFile = async (
  bytes: Uint8Array,
  name: string,
  settings: ExamineSettings,
  figure: CodeFigure | null,
  task?: Task,
  kit: PolygonKit | null = null,
  options: Partial<CodeOptions> = {},
): Promise<Outcome<CodeExamination>> => {
  task?.onProgress?.(0, 'reading the words')
  const read = readCode(bytes, options)
  if (!read.ok) return read
  await breathe(task)
  const outcome = await examineCode(read.value, name, settings, figure, partOf(task, 0.1, 1), kit)
  return outcome.ok ? good(outcome.value, [...read.notes, ...outcome.notes]) : outcome
}

/** What is left when beads and moves are not sent along. */
export const codeReport = (code: CodeExamination): CodeReport => {
  const { plan: _plan, timeline: _times, limit: _limit, roleSure: _sure, line: _line, stack: _stack, ...rest } = code
  const { balance, strings } = rest
  return {
    ...rest,
    balance: balance && {
      laidMm3: balance.laidMm3,
      roomMm3: balance.roomMm3,
      overflowMm3: balance.overflowMm3,
      gapMm3: balance.gapMm3,
      totals: balance.totals,
    },
    strings: strings && {
      nCrossings: strings.nCrossings,
      layerCrossings: strings.layerCrossings,
      layerAirMm: strings.layerAirMm,
      layerThreads: strings.layerThreads,
    },
  }
}
