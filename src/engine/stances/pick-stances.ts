// The few stances worth the full rooms: the given one, and the best unbeaten one for each aim, no two alike.

import { angleBetween } from './attitudes.ts'
import { type Direction, STANCE_COLUMNS, STANCE_ROW, type StanceAim, type StanceSearch } from './types.ts'

/** Weights of the five questions: strength, props, head, time, hold. */
type Weights = readonly [number, number, number, number, number]

/** What each aim asks for most; the rest still counts a little, or the best would be absurd elsewhere. */
const WEIGHTS: Readonly<Record<Exclude<StanceAim, 'as given'>, Weights>> = {
  'all round': [1, 1, 1, 1, 1],
  strong: [5, 0.6, 0.5, 0.5, 0.3],
  'smooth head': [0.5, 0.6, 5, 0.5, 0.3],
  'few props': [0.4, 5, 0.4, 0.4, 0.4],
  quick: [0.4, 0.6, 0.4, 5, 0.3],
  firm: [0.4, 0.6, 0.4, 0.4, 5],
}

/** Directions nearer than this are the same stance, radians. */
const SAME = (8 * Math.PI) / 180
/** Sideways hold that a print needs so that the nozzle does not knock it off, N: a light push, from memory. */
const ENOUGH_HOLD_N = 1

/** How bad a row is in each question, 0 for the best of all. */
const faultsOf = (search: StanceSearch): ((i: number) => number[]) => {
  const { rows, nStances } = search
  const at = (i: number, column: number): number => rows[STANCE_COLUMNS * i + column]
  const best = (column: number, pick: (a: number, b: number) => number): number => {
    let value = at(0, column)
    for (let i = 1; i < nStances; i++) value = pick(value, at(i, column))
    return value
  }
  const force = best(STANCE_ROW.leastForce, Math.max)
  const quick = best(STANCE_ROW.minutes, Math.min)
  const head = best(STANCE_ROW.headStepUm, Math.min)
  const worstHead = best(STANCE_ROW.headStepUm, Math.max)
  return (i) => [
    Number.isFinite(force) ? Math.log(force / Math.max(at(i, STANCE_ROW.leastForce), 1e-3)) : 0,
    Math.log(1 + at(i, STANCE_ROW.propRoom) / 200),
    worstHead > head ? (at(i, STANCE_ROW.headStepUm) - head) / (worstHead - head) : 0,
    Math.log(at(i, STANCE_ROW.minutes) / quick),
    Math.max(0, 1 - at(i, STANCE_ROW.pry) / ENOUGH_HOLD_N),
  ]
}

/** Stances to choose from at least, the given one among them. */
const LEAST_PICKS = 3

/** A chosen stance: its number in the search and what it was chosen for. */
export interface StancePick {
  readonly index: number
  readonly aims: readonly StanceAim[]
}

/** With a base, what leans farther is left out: the base would hang overhead on the ankles, whatever the sums say. */
export const MOST_LEAN_COS = Math.cos((115 * Math.PI) / 180)

/** Chooses at most `most` stances besides the given one. @param leastUp least z of their up direction */
export const pickStances = (search: StanceSearch, most: number, leastUp = -1): StancePick[] => {
  const faultsOfRow = faultsOf(search)
  const upAt = (i: number): Direction => [search.ups[3 * i], search.ups[3 * i + 1], search.ups[3 * i + 2]]
  const picks: { index: number; aims: StanceAim[] }[] = [{ index: 0, aims: ['as given'] }]
  const all: number[][] = []
  for (let i = 0; i < search.nStances; i++)
    all.push(i === 0 || (search.unbeaten[i] && search.ups[3 * i + 2] >= leastUp) ? faultsOfRow(i) : [])
  const scoreOf = (i: number, weights: Weights): number => all[i].reduce((sum, v, q) => sum + weights[q] * v, 0)
  for (const [aim, weights] of Object.entries(WEIGHTS) as [Exclude<StanceAim, 'as given'>, Weights][]) {
    let best = 0
    for (let i = 1; i < search.nStances; i++)
      if (all[i].length > 0 && scoreOf(i, weights) < scoreOf(best, weights) - 1e-12) best = i
    const same = picks.find(({ index }) => angleBetween(upAt(index), upAt(best)) < SAME)
    if (same) same.aims.push(aim)
    else if (picks.length <= most) picks.push({ index: best, aims: [aim] })
  }
  // A choice is of three at least: the best all round of what is left, well apart from the others.
  while (picks.length < Math.min(LEAST_PICKS, most + 1)) {
    let best = -1
    let score = Infinity
    for (let i = 1; i < search.nStances; i++) {
      if (search.ups[3 * i + 2] < leastUp) continue
      if (picks.some(({ index }) => angleBetween(upAt(index), upAt(i)) < 3 * SAME)) continue
      const faults = faultsOfRow(i).reduce((sum, fault) => sum + fault, 0)
      if (faults < score) [best, score] = [i, faults]
    }
    if (best < 0) break
    picks.push({ index: best, aims: [] })
  }
  return picks
}
