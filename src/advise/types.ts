// What goes into advice and carrying over, and what comes out. Units stand in the names; a share is 0-1.

import type { ExamineSettings } from '../engine/examine/index.ts'
import type { Stance } from '../engine/figure/index.ts'
import type { RecipeRemark, Severity } from '../engine/findings/index.ts'
import type { FilamentCard, PrinterCard, Recipe } from '../recipe/index.ts'
import type { Levels, VariedKey } from './candidates.ts'

/** A machine and what it prints with. */
export interface Cards {
  readonly printer: PrinterCard
  readonly filament: FilamentCard
}

/** One line of a recipe that changed on the way to other cards. */
export interface CarriedLine {
  readonly key: keyof Recipe & string
  /** In words, e.g. "bead width: 0.25 mm instead of 0.4 mm (37.5 % less)". */
  readonly words: string
  /** What it keeps, or why it could not stay. */
  readonly why: string
}

/** A number that carrying over tries to keep. */
export interface KeptNumber {
  readonly id: 'melt-rate' | 'layer-time' | 'wall' | 'linger' | 'heat-time' | 'corner-loss' | 'cooling' | 'melt-share'
  readonly label: string
  readonly unit: string
  readonly before: number
  readonly after: number
  /** True when both agree within a twentieth. */
  readonly isKept: boolean
}

/** A recipe for other cards: computed, untried. */
export interface CarriedOver {
  readonly kind: 'carried-over'
  readonly recipe: Recipe
  readonly lines: readonly CarriedLine[]
  readonly kept: readonly KeptNumber[]
  /** What the checks of a recipe say of the result. */
  readonly remarks: readonly RecipeRemark[]
}

/** What one trial on the computer says. */
export interface TrialNumbers {
  /** Places that fail while printing, and their titles. */
  readonly fails: number
  readonly failing: readonly string[]
  /** Share of falls from a table that break something, and height from which half of all falls do, m. */
  readonly fallsBroken: number
  readonly halfBreakM: number
  /** Least force of a hand that breaks a limb, N; infinite where none does. */
  readonly leastForceN: number
  /** Volume out of place, mm3: the sum of the parts. */
  readonly shapeMm3: number
  readonly shape: {
    readonly stepsMm3: number
    readonly lostMm3: number
    readonly surplusMm3: number
    readonly gapsMm3: number
    readonly threadsMm3: number
    readonly onSoftMm3: number
  }
  readonly threads: number
  readonly printS: number
  readonly massG: number
  /** Findings by severity. */
  readonly findings: Readonly<Record<Severity, number>>
}

/** Limits that advice keeps to; what is not set is not limited. */
export interface AdviceLimits {
  readonly mostMinutes?: number
  readonly mostGrams?: number
  /** Half of all falls from this height must leave the figure whole, m. */
  readonly leastFallM?: number
  readonly mostShapeMm3?: number
}

/** What is searched, how far, and from where. */
export interface AdviceWish {
  readonly settings: ExamineSettings
  readonly limits: AdviceLimits
  /** Stances to try; the first is the given one, and stands in the settings. */
  readonly stances: readonly { readonly stance: Stance; readonly words: string }[]
  /** Levels of settings that differ from the usual ones; a single level holds a setting. */
  readonly levels: Partial<Levels>
  /** Recipes whose beads are really laid, 2 to 200. */
  readonly nTrials: number
  /** Recipes that are told, 1 to 20. */
  readonly most: number
  readonly seed: number
  /** Work out sensitivities by laying beads again, not from the estimate set right by the trials. */
  readonly thorough: boolean
  /** Look at recipes too that depart from common practice where the given one does not. */
  readonly beyondPractice: boolean
}

/** One recipe of the short list. */
export interface AdvicePick {
  readonly recipe: Recipe
  /** Index into the stances of the wish, and its words. */
  readonly stance: number
  readonly stanceWords: string
  readonly turned: Stance
  readonly numbers: TrialNumbers
  readonly isBase: boolean
  readonly isWithinLimits: boolean
  /** What it changes against the given recipe, in words. */
  readonly changes: readonly string[]
  /** What it brings against the given recipe, and what it gives up against the best of the list. */
  readonly gains: readonly string[]
  readonly givesUp: readonly string[]
  /** Where it departs from common practice. */
  readonly departs: readonly string[]
}

/** What one step of one setting does, around the first pick. */
export interface Sensitivity {
  readonly key: VariedKey
  readonly label: string
  readonly unit: string
  readonly step: number
  /** Change per step upwards; null where the estimate does not see it. */
  readonly halfBreakM: number | null
  readonly shapeMm3: number | null
  readonly printS: number
  readonly massG: number
  readonly how: 'estimated' | 'laid'
}

/** Advice. */
export interface Advice {
  readonly kind: 'advice'
  /** The first is the best trade-off; then those that give up least. */
  readonly picks: readonly AdvicePick[]
  /** The given recipe in the given stance. */
  readonly base: TrialNumbers
  readonly sensitivities: readonly Sensitivity[]
  /** How many recipes were estimated, and how many laid. */
  readonly nEstimated: number
  readonly nLaid: number
  /** Which limits no laid recipe keeps, in words; empty when some do. */
  readonly missed: readonly string[]
  /** What the answer rests on, one sentence each. */
  readonly basis: readonly string[]
}
