// What is known of a print file, and how it differs from the plan.

import type { BeadPlan } from '../beads/index.ts'
import type { Issue } from '../kernel/index.ts'
import type { GearPasses, MeltBalance, MeltLimit, StringReport } from '../melt/index.ts'
import type { Certainty, NotFollowed, Placement, WordCount } from '../motioncode/index.ts'
import type { LayerStack } from '../sections/index.ts'
import type { MachineFit, Timeline, TimeTotals } from '../timing/index.ts'

/** Beads of one role: how many, how long together, how much plastic. */
export interface RoleSum {
  readonly role: string
  readonly n: number
  readonly lengthMm: number
  readonly volumeMm3: number
  /** Mean width by length, mm. */
  readonly widthMm: number
}

/** Sums over each layer of a plan, planned or read. Lengths mm, volumes mm3, times s; one entry a layer. */
export interface LayerFacts {
  readonly nLayers: number
  readonly topZ: Float64Array
  readonly heightMm: Float64Array
  /** Plastic of the figure: priming loops and props left out. */
  readonly volumeMm3: Float64Array
  /** All plastic by role: nLayers rows with one column for each of BEAD_ROLES. */
  readonly roleMm3: Float64Array
  readonly typedS: Float64Array
  readonly realS: Float64Array
  /** Closed shells round an outline, mean over the outlines of the layer; NaN where there is no outer shell. */
  readonly shells: Float64Array
  /** Width of the shells, mean by length; NaN where there are none. */
  readonly widthMm: Float64Array
  readonly retractions: Float64Array
  /** Greatest retraction of the layer, mm. */
  readonly retractionMm: Float64Array
}

/** Whose outlines the plastic was weighed against. */
export type OutlineSource = 'the figure' | 'the shells of the file'

/** A print file as it was read: all that is small enough to show, store and send. */
export interface CodeReport {
  readonly name: string
  readonly nBytes: number
  readonly nLines: number
  readonly nWords: number
  readonly nMoves: number
  readonly nArcs: number
  readonly fit: MachineFit
  readonly gear: GearPasses
  readonly roles: readonly RoleSum[]
  readonly volumeMm3: number
  readonly massG: number
  /** Pushed out while standing before the first bead. */
  readonly primedMm3: number
  readonly nRetractions: number
  readonly certainty: { readonly layers: Certainty; readonly widths: Certainty; readonly roles: Certainty }
  /** Where the figure's outlines were found in the file; null without a figure. */
  readonly placement: Placement | null
  readonly unknown: readonly WordCount[]
  /** With what each does to the time. */
  readonly notFollowed: readonly NotFollowed[]
  readonly malformed: readonly Issue[]
  readonly nMalformed: number
  /** What was decided and why: unit of dwells, scale of fan words, mode of the filament axis. */
  readonly decisions: readonly string[]
  /** What the recipe or the cards had to fill in, one sentence each. */
  readonly assumed: readonly string[]
  readonly layers: LayerFacts
  readonly times: TimeTotals
  /** Flow share by words of the file; 1 when it sets none. */
  readonly flowShare: number
  /** Median set speed of the outer shells and of all other beads above the first layer, mm/s; NaN when there are none. */
  readonly outerSpeedMmPerS: number
  readonly otherSpeedMmPerS: number
  /** Set in the middle of the file and on the bed, deg C; NaN where the file sets none. */
  readonly nozzleC: number
  readonly bedC: number
  readonly fanShare: number
  /** Balance of plastic against room, and travels over air; null when there were no outlines to weigh against. */
  readonly outlines: OutlineSource | null
  readonly balance: Pick<MeltBalance, 'laidMm3' | 'roomMm3' | 'overflowMm3' | 'gapMm3' | 'totals'> | null
  readonly strings: Pick<StringReport, 'nCrossings' | 'layerCrossings' | 'layerAirMm' | 'layerThreads'> | null
  readonly melt: Pick<MeltLimit, 'conductionMm3PerS' | 'cardMm3PerS' | 'layerMost' | 'nBeadsOver'>
  /** What was left out and why, one sentence each. */
  readonly leftOut: readonly string[]
  /** Differences from the plan of the figure, gravest first; null without a figure. */
  readonly differences: readonly CodeDifference[] | null
}

/** A print file with every bead. */
export interface CodeExamination extends CodeReport {
  readonly kind: 'code-examination'
  readonly plan: BeadPlan
  readonly timeline: Timeline
  readonly limit: MeltLimit
  /** How sure each bead's role is, 0-1, and the line of the file it begins on. */
  readonly roleSure: Float32Array
  readonly line: Uint32Array
  /** Outlines the plastic was weighed against, in the file's coordinates. */
  readonly stack: LayerStack | null
}

/** One number in which the file and the plan differ. */
export interface CodeDifference {
  readonly id: string
  readonly label: string
  readonly plan: number
  readonly file: number
  readonly unit: string
  /** Difference as a share of the plan (of 1 where the plan has none). */
  readonly share: number
  /** Heights it holds for, mm. */
  readonly fromMm: number
  readonly toMm: number
  /** How much it matters, 0-1: how far off, times the share of the print that it touches. */
  readonly weight: number
  /** Layers in which the two differ most, for what is compared layer by layer. */
  readonly worstLayers?: readonly number[]
  /** One plain sentence. */
  readonly words: string
}
