// The whole field in words, and the quantities of it that can be laid over a figure.

import type { WholeField } from '../engine/strength/index.ts'
import type { SurfaceQuantity } from './field-glb.ts'

/** Quantities by the words that choose them. */
export type FieldQuantity = 'use' | 'within' | 'between' | 'fall' | 'movement'

const NAMES: Readonly<Record<FieldQuantity, readonly [string, string]>> = {
  use: ['strength used by 1 N on any limb', ''],
  within: ['strength used within layers by 1 N on any limb', ''],
  between: ['strength used between layers by 1 N on any limb', ''],
  fall: ['strength used by a fall on the base', ''],
  movement: ['movement under 1 N on the weakest limb', 'mm'],
}

const greatestOf = (values: Float32Array): number => {
  let most = 0
  for (const v of values) if (v > most) most = v
  return most
}

/** A quantity over the figure's vertices; strength use spans 0 to 1, or less where nothing comes near 1. */
export const surfaceQuantity = (field: WholeField, which: FieldQuantity): SurfaceQuantity => {
  const values = {
    use: field.vertexUse,
    within: field.vertexWithin,
    between: field.vertexBetween,
    fall: field.vertexFallUse,
    movement: field.vertexMoveMm,
  }[which]
  const [name, unit] = NAMES[which]
  const most = greatestOf(values)
  return {
    name,
    unit,
    values,
    from: 0,
    to: which === 'movement' ? Math.max(most, 1e-6) : Math.max(0.01, Math.min(1, most)),
  }
}

/** One load of the field, in numbers. */
export interface FieldLoadFacts {
  readonly kind: string
  readonly name: string
  /** Sentence with the answer and how far the quick look is from it. */
  readonly words: string
  /** Error of travel and of breaking force as shares, from a coarser grid; null when it was not solved. */
  readonly travelError: number | null
  readonly forceError: number | null
}

/** The field in numbers, without its grid: what goes into the sheet as data. */
export interface FieldFacts {
  readonly cellMm: number
  readonly coarserMm: number | null
  readonly nUnknowns: number
  readonly holdBelowMm: number
  readonly loads: readonly FieldLoadFacts[]
  /** Per layer: least force on any of the limbs that breaks it there, N; null where held or beyond 1000 N. */
  readonly layerBreakForceN: readonly (number | null)[]
  readonly basis: readonly string[]
}

const known = (value: number): number | null => (Number.isFinite(value) ? value : null)

/** The field in numbers. */
export const fieldFacts = ({
  cellMm,
  coarserMm,
  nUnknowns,
  holdBelowMm,
  loads,
  layerBreakForceN,
  basis,
}: WholeField): FieldFacts => ({
  cellMm,
  coarserMm: known(coarserMm),
  nUnknowns,
  holdBelowMm,
  loads: loads.map(({ kind, name, words, travelError, forceError }) => ({
    kind,
    name,
    words,
    travelError: known(travelError),
    forceError: known(forceError),
  })),
  layerBreakForceN: Array.from(layerBreakForceN, known),
  basis,
})
