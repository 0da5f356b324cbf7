// Cheap looks at one stance: outlines once, strength for a few fillings without beads, and from these numbers for every recipe.

import type { Examination } from '../engine/examine/index.ts'
import { breathe, type Task } from '../engine/kernel/index.ts'
import { quickStrength, type Stuffing } from '../engine/strength/index.ts'
import type { FilamentCard, Recipe } from '../recipe/index.ts'
import { estimator, outlineSums } from './estimate.ts'
import { projectedMm2 } from './trial.ts'
import type { TrialNumbers } from './types.ts'

/** Height from which half of all falls break a figure filled in a certain way, m. */
export type FallOf = (recipe: Recipe) => number

const stuffingOf = (recipe: Recipe): Stuffing => ({
  nShells: recipe.nShells,
  beadWidthMm: recipe.beadWidthMm,
  layerHeightMm: recipe.layerHeightMm,
  capThicknessMm: recipe.capThicknessMm,
  infillShare: recipe.infillShare,
})

/** Share of the own fall over a setting, straight between the levels that were looked at and level beyond them. */
const shareOver = (known: ReadonlyMap<number, number>, own: number): ((value: number) => number) => {
  const levels = [...known.keys()].sort((a, b) => a - b)
  return (value) => {
    if (levels.length === 0 || !(own > 0)) return 1
    const at = levels.findIndex((level) => level >= value)
    if (at <= 0) return (known.get(at === 0 ? levels[0] : levels[levels.length - 1]) as number) / own
    const [from, to] = [levels[at - 1], levels[at]]
    const [low, high] = [known.get(from) as number, known.get(to) as number]
    return (low + ((high - low) * (value - from)) / (to - from)) / own
  }
}

/**
 * Falls by shells and infill: the base filling and each other level of one of the two at a time; both together count as the product of
 * their shares, and layers as those of the base.
 */
export const fallsOf = async (
  look: Examination,
  filament: FilamentCard,
  base: Recipe,
  shells: readonly number[],
  infills: readonly number[],
  task?: Task,
): Promise<FallOf> => {
  const known = new Map<string, number>()
  const at = async (recipe: Recipe): Promise<number> => {
    const key = `${recipe.nShells}|${recipe.infillShare}`
    const found = known.get(key)
    if (found !== undefined) return found
    await breathe(task)
    const { figure, layers, relations } = look
    const quiet = task ? { signal: task.signal, breathe: task.breathe } : undefined
    const answer = await quickStrength(
      figure,
      layers,
      relations,
      filament,
      { stuffing: stuffingOf(recipe), plan: null },
      quiet,
    )
    known.set(key, answer.drop.halfBreakHeightM)
    return answer.drop.halfBreakHeightM
  }
  const own = await at(base)
  const byShells = new Map<number, number>()
  const byInfill = new Map<number, number>()
  const others = [...shells.map((n) => [n, base.infillShare]), ...infills.map((s) => [base.nShells, s])]
  for (let i = 0; i < others.length; i++) {
    task?.onProgress?.(i / others.length, 'dropping it with other fillings')
    const [nShells, infillShare] = others[i]
    const fall = await at({ ...base, nShells, infillShare })
    if (infillShare === base.infillShare) byShells.set(nShells, fall)
    if (nShells === base.nShells) byInfill.set(infillShare, fall)
  }
  const shellShare = shareOver(byShells, own)
  const infillShareOf = shareOver(byInfill, own)
  return ({ nShells, infillShare }) => own * shellShare(nShells) * infillShareOf(infillShare)
}

/** What is known of a stance before any bead of it is laid. */
export interface StanceEstimate {
  readonly estimate: (recipe: Recipe) => { readonly printS: number; readonly massG: number }
  /** Projected surface, mm2, and volume of details that vanish, mm3. */
  readonly projectedMm2: number
  readonly lostMm3: number
  /** Places that fail by their outlines. */
  readonly fails: number
}

/** The cheap look at a stance, from a quick examination of it. */
export const stanceEstimate = (
  look: Examination,
  filament: FilamentCard,
  aboutStrength: readonly string[],
): StanceEstimate => ({
  estimate: estimator(outlineSums(look.layers), filament.densityGPerCm3),
  projectedMm2: projectedMm2(look),
  lostMm3: look.vanishing.reduce((sum, { volumeMm3 }) => sum + volumeMm3, 0),
  fails: look.findings.filter(({ severity, rule }) => severity === 'breaks' && !aboutStrength.includes(rule)).length,
})

/** Share of a change of flow that reaches gaps and surplus: the rest lies in the open lattice. From memory. */
const FLOW_REACHES = 0.8

/** Estimated volume out of place, mm3: steps by the layer height, gaps and surplus by the flow, the rest as in the trial of the base. */
export const estimatedShape = (
  { projectedMm2: projected, lostMm3 }: StanceEstimate,
  recipe: Recipe,
  base: Recipe,
  known: TrialNumbers,
): number => {
  const { surplusMm3, gapsMm3, threadsMm3, onSoftMm3 } = known.shape
  // What a change of flow adds first closes gaps; the rest comes out.
  const laid = (known.massG / 1.24) * 1000 * FLOW_REACHES
  const added = (laid * (recipe.flowShare - base.flowShare)) / base.flowShare
  const gaps = Math.max(0, gapsMm3 - added)
  const surplus = surplusMm3 + Math.max(0, added - gapsMm3)
  return (recipe.layerHeightMm / 4) * projected + lostMm3 + gaps + surplus + threadsMm3 + onSoftMm3
}
