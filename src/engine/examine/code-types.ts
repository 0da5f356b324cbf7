// What is known of a print file, and how it differs from the plan.

import type { BeadPlan } from '../beads/index.ts'
import type { Issue } from '../kernel/index.ts'
import type { GearPasses, MeltLimit } from '../melt/index.ts'
import type { Certainty, NotFollowed, Placement, WordCount } from '../motioncode/index.ts'
import type { MachineFit, Timeline } from '../timing/index.ts'

/** Beads of one role: how many, how long together, how much plastic. */
export interface RoleSum {
  readonly role: string
  readonly n: number
  readonly lengthMm: number
  readonly volumeMm3: number
  /** Mean width by length, mm. */
  readonly widthMm: number
}

/** A print file as it was read. */
export interface CodeExamination {
  readonly kind: 'code-examination'
  readonly name: string
  readonly nBytes: number
  readonly nLines: number
  readonly nMoves: number
  readonly plan: BeadPlan
  readonly timeline: Timeline
  readonly fit: MachineFit
  readonly gear: GearPasses
  readonly limit: MeltLimit
  readonly roles: readonly RoleSum[]
  readonly volumeMm3: number
  readonly massG: number
  readonly nRetractions: number
  readonly certainty: { readonly layers: Certainty; readonly widths: Certainty; readonly roles: Certainty }
  /** Where the figure's outlines were found in the file; null without a figure. */
  readonly placement: Placement | null
  readonly unknown: readonly WordCount[]
  readonly notFollowed: readonly NotFollowed[]
  readonly malformed: readonly Issue[]
  readonly nMalformed: number
  readonly decisions: readonly string[]
  /** Differences from the plan of the figure, gravest first; null without a figure. */
  readonly differences: readonly CodeDifference[] | null
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
  /** Layers in which the two differ most, for what is compared layer by layer. */
  readonly worstLayers?: readonly number[]
  /** One plain sentence. */
  readonly words: string
}
