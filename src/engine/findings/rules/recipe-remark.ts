// What can be said of a recipe held against its cards, without a figure: the types of the checks, and numbers they share.

import type { FilamentCard, PrinterCard, Recipe } from '../../../recipe/index.ts'
import { beadArea } from '../../beads/index.ts'
import { diffusivityOf } from '../../melt/index.ts'
import type { Change, Evidence, Severity } from '../types.ts'

/** contradiction: the recipe cannot be right as it stands. departure: differs from common practice. note: worth knowing. */
export type RemarkKind = 'contradiction' | 'departure' | 'note'

/** One thing said of a recipe. */
export interface RecipeRemark {
  /** Stable, e.g. "corner-speed". */
  readonly id: string
  readonly kind: RemarkKind
  /** How grave it is on a sheet. */
  readonly severity: Severity
  /** The lines of the recipe it is about. */
  readonly keys: readonly (keyof Recipe & string)[]
  /** One plain sentence, without its full stop. */
  readonly title: string
  /** The reason, and where it comes from. */
  readonly why: string
  readonly evidence: readonly Evidence[]
  /** What would settle it, where one line does. */
  readonly change: Change | null
}

/** A recipe with the machine and the spool it is held against. */
export interface RecipeCase {
  readonly recipe: Recipe
  readonly printer: PrinterCard
  readonly filament: FilamentCard
}

/** A check looks at a case and says one thing or nothing. */
export type RecipeRule = (asked: RecipeCase) => RecipeRemark | null

export const PRACTICE = 'Common practice, no source.'

/** Room temperature that checks without a figure take, deg C. */
export const ROOM_C = 25

/** A number without rounding noise. */
export const plain = (value: number, digits = 3): string => String(Number(value.toPrecision(digits)))

/** Heat capacity at a temperature, straight between the points of the card, J/(kg K). */
const capacityAt = ({ heatCapacityJPerKgK: table }: FilamentCard, celsius: number): number => {
  const next = table.findIndex(([at]) => at >= celsius)
  if (next === 0) return table[0][1]
  if (next < 0) return table[table.length - 1][1]
  const [t0, c0] = table[next - 1]
  const [t1, c1] = table[next]
  return c0 + ((c1 - c0) * (celsius - t0)) / (t1 - t0)
}

/** Diffusivity of the plastic half way between the room and the nozzle, mm2/s. */
export const plasticDiffusivity = (filament: FilamentCard, nozzleC: number): number =>
  diffusivityOf(filament.conductivityWPerMK, filament.densityGPerCm3, capacityAt(filament, (ROOM_C + nozzleC) / 2))

/** Greatest volume rate a recipe asks for at its set speeds, mm3/s, and the line it comes from. */
export const askedRate = (recipe: Recipe): { readonly rate: number; readonly key: keyof Recipe & string } => {
  const { beadWidthMm, mostBeadWidthMm, layerHeightMm, firstLayerHeightMm, flowShare, gapBeads } = recipe
  const widest = gapBeads ? Math.max(beadWidthMm, mostBeadWidthMm) : beadWidthMm
  const rates = [
    { key: 'speedMmPerS', rate: recipe.speedMmPerS * beadArea(widest, layerHeightMm) },
    { key: 'outerShellSpeedMmPerS', rate: recipe.outerShellSpeedMmPerS * beadArea(beadWidthMm, layerHeightMm) },
    { key: 'firstLayerSpeedMmPerS', rate: recipe.firstLayerSpeedMmPerS * beadArea(widest, firstLayerHeightMm) },
  ] as const
  const most = rates.reduce((a, b) => (b.rate > a.rate ? b : a))
  return { key: most.key, rate: most.rate * flowShare }
}

/** Filament between two retractions on the limbs of a figure, mm: an outline of 40 mm or so at 0.4 by 0.1 mm. From memory. */
const BETWEEN_RETRACTIONS_MM = 0.7

/** Longest retraction with which a piece of filament keeps below its allowed passes, mm: passes times the filament used between two. */
export const grindLimitMm = ({ mostGearPasses }: FilamentCard): number => mostGearPasses * BETWEEN_RETRACTIONS_MM

/** Give of the filament in its tube as a share of the tube's length. From memory, as in the rooms that look for strings. */
export const PLAY_SHARE = 0.01

/** Deepest reach of the nozzle's heat into an outer shell before small parts look worse, mm: 12 mm/s, a land of 1 mm, plain PLA. */
const MOST_REACH_MM = 0.15

/** Slowest outer shell at which the heat of the passing nozzle stays within that reach, mm/s: reach 2 sqrt(alpha land / v). */
export const slowestOuterShell = ({ recipe, printer, filament }: RecipeCase): number =>
  (4 * plasticDiffusivity(filament, recipe.nozzleC) * printer.nozzleLandMm) / MOST_REACH_MM ** 2
