// What the rules look at: the results of the rooms for the whole figure or for a window of its height.

import type { FilamentCard, PrinterCard, Recipe } from '../../recipe/index.ts'
import type { BeadPlan, PlanReport } from '../beads/index.ts'
import type { Figure } from '../figure/index.ts'
import type { HeatResult, QuickHeat } from '../heat/index.ts'
import type { GearPasses, MeltBalance, MeltLimit, SteadyFlow, StringReport } from '../melt/index.ts'
import type { LayerRelations, LayerStack } from '../sections/index.ts'
import type { QuickStrength } from '../strength/index.ts'
import type { SurfaceLook } from '../surface/index.ts'
import type { OutlineThickness, ShellFit, VanishingDetail } from '../thickness/index.ts'
import type { MachineFit, Timeline } from '../timing/index.ts'

/** The settings that rules hold results against. */
export interface RuleSettings {
  readonly beadWidthMm: number
  readonly leastBeadWidthMm: number
  readonly layerHeightMm: number
  readonly firstLayerHeightMm: number
  /** Shells that the recipe asks for. */
  readonly nShells: number
  /** Sole to eye line of the figure as it stands, mm; NaN when the scale was set another way. */
  readonly soleToEyeMm: number
  readonly thickenMm: number
  /** Figures like it printed side by side on one bed, this one included. */
  readonly nTogether: number
  /** Turns about x, y, z, degrees. */
  readonly stanceDeg: readonly [number, number, number]
}

/** What the machine lays down with the recipe, when, and where the plastic goes. */
export interface PrintResults {
  readonly recipe: Recipe
  readonly printer: PrinterCard
  readonly filament: FilamentCard
  readonly plan: BeadPlan
  readonly report: PlanReport
  readonly timeline: Timeline
  readonly fit: MachineFit
  /** At the filament's true diameter, and at the diameter its tolerance allows. */
  readonly balance: MeltBalance
  readonly thickFilament: MeltBalance
  readonly steady: SteadyFlow
  readonly strings: StringReport
  readonly gear: GearPasses
  readonly limit: MeltLimit
}

/** What is soft when the nozzle comes back: the layer model, and the detailed calculation when that has been made. */
export interface HeatLook {
  readonly quick: QuickHeat
  readonly full: HeatResult | null
}

/** Results of the rooms, as the rules see them. */
export interface RoomResults {
  readonly settings: RuleSettings
  readonly figure: Figure
  readonly layers: LayerStack
  readonly relations: LayerRelations
  readonly outlineThickness: OutlineThickness
  readonly shellFit: ShellFit
  readonly vanishing: readonly VanishingDetail[]
  /** Null where only outlines were examined. */
  readonly print: PrintResults | null
  /** Null where heat was not computed. */
  readonly heat: HeatLook | null
  /** Null where strength was not computed. */
  readonly strength: QuickStrength | null
  /** Absent or null where the surface was not looked at. */
  readonly surface?: SurfaceLook | null
}
