// One examination: what goes in, what comes out.

import type { FilamentCard, PrinterCard, Recipe } from '../../recipe/index.ts'
import type { Figure, ScaleWish, Stance } from '../figure/index.ts'
import type { Finding, HeatLook, PrintResults } from '../findings/index.ts'
import type { LengthUnit } from '../mesh/index.ts'
import type { LayerRelations, LayerStack } from '../sections/index.ts'
import type { QuickStrength } from '../strength/index.ts'
import type { SurfaceLook } from '../surface/index.ts'
import type { OutlineThickness, ShellFit, SurfaceThickness, VanishingDetail } from '../thickness/index.ts'

/** Everything a person may set for an examination. */
export interface ExamineSettings {
  readonly scale: ScaleWish
  /** Unit of the file; null to guess. */
  readonly unit: LengthUnit | null
  readonly stance: Stance
  /** Height of the eye line above the soles, mm on the sculpt at its unit's size, before scaling; null to guess. */
  readonly eyeLineMm: number | null
  readonly layerHeightMm: number
  readonly firstLayerHeightMm: number
  readonly beadWidthMm: number
  readonly leastBeadWidthMm: number
  /** Shells the recipe asks for. */
  readonly nShells: number
  /** Growth of every outline, mm of thickness, for "what if the sculpt were thicker"; 0 normally. */
  readonly thickenMm: number
  /** Figures like it printed side by side on one bed, this one included: the others' time is a pause in each layer. */
  readonly nTogether: number
  /** Everything else about the print; the heights, widths and shells above go before those of the recipe. */
  readonly recipe: Recipe
  readonly printer: PrinterCard
  readonly filament: FilamentCard
}

/** One column of the height log: a number for every layer. */
export interface Track {
  readonly id: string
  /** What it answers, in a few plain words. */
  readonly question: string
  /** Name of the quantity, with unit apart. */
  readonly quantity: string
  readonly unit: string
  /** One value a layer, NaN where there is none. */
  readonly values: Float64Array
  /** A second line to hold it against, e.g. typed time against real time. */
  readonly other?: { readonly label: string; readonly values: Float64Array }
  /** A band that matters, e.g. within which plastic softens. */
  readonly band?: { readonly label: string; readonly from: number; readonly to: number }
  /** Limit line. */
  readonly limit?: { readonly label: string; readonly value: number; readonly bad: 'above' | 'below' }
  /** Range of the axis; values beyond are cut and marked. */
  readonly from: number
  readonly to: number
  /** Draw as steps (counts) or as a line. */
  readonly drawn: 'steps' | 'line'
  /** Decimals to show. */
  readonly decimals: number
  /** How it is worked out, one or two sentences with source, for the "why". */
  readonly why: string
}

/** Numbers at the head of the sheet. */
export interface Summary {
  readonly name: string
  readonly soleToEyeMm: number
  readonly totalHeightMm: number
  readonly volumeMm3: number
  readonly nLayers: number
  /** Plastic laid, g, and time from the first move to the last, s; null until beads are planned. */
  readonly massG: number | null
  readonly printS: number | null
  /** Steps of the layers where an eye looks first: the face, or all but base and undersides; null until the surface was looked at. */
  readonly steps: {
    readonly on: 'the face' | 'all but the base'
    /** Mean height of the steps, um, and the share of the surface that shows them at the viewing distance, 0-1. */
    readonly meanUm: number
    readonly shownShare: number
  } | null
  /** One plain sentence: the verdict. */
  readonly verdict: string
  /** What was assumed, one sentence each. */
  readonly assumed: readonly string[]
}

export interface Examination {
  readonly kind: 'examination'
  readonly settings: ExamineSettings
  readonly summary: Summary
  readonly figure: Figure
  readonly layers: LayerStack
  readonly relations: LayerRelations
  readonly outlineThickness: OutlineThickness
  readonly shellFit: ShellFit
  readonly vanishing: readonly VanishingDetail[]
  readonly surfaceThickness: SurfaceThickness | null
  /** Beads, times, and where the plastic goes; null in a quick examination. */
  readonly print: PrintResults | null
  /** What is soft when the nozzle comes back; null in a quick examination. */
  readonly heat: HeatLook | null
  /** What breaks, in the hand and off the table; null in a quick examination. */
  readonly strength: QuickStrength | null
  /** How it will look; absent or null in a quick examination. */
  readonly surface?: SurfaceLook | null
  readonly tracks: readonly Track[]
  /** Worst first: by severity, then by what is at stake and how sure it is. */
  readonly findings: readonly Finding[]
}

/** What is known so far; each message holds what has just become ready, never less than before. */
export type PartialExamination = Partial<Omit<Examination, 'kind' | 'settings'>> & Pick<Examination, 'settings'>
