// What the rules look at: the results of the rooms for the whole figure or for a window of its height.

import type { Figure } from '../figure/index.ts'
import type { LayerRelations, LayerStack } from '../sections/index.ts'
import type { OutlineThickness, ShellFit, VanishingDetail } from '../thickness/index.ts'

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
  /** Turns about x, y, z, degrees. */
  readonly stanceDeg: readonly [number, number, number]
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
}
