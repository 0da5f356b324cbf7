// Advice on a recipe and a stance for one figure: the engine itself, cheap rooms for all combinations, dear rooms for the few that remain.
//
// All combinations of a few levels are estimated from outlines; the unbeaten ones among them, spread over what they trade, have their
// beads laid, in two rounds: after the first the estimates are set right by what the trials showed. What no laid recipe beats is told,
// with what each gives up. Same seed, same answer. Limits: settings between the levels are not looked at; heat counts by the layer model.

import {
  createExaminer,
  type Examination,
  type ExamineSettings,
  keptForSearch,
  recipeInForce,
  withRecipe,
} from '../engine/examine/index.ts'
import { checkRecipe } from '../engine/findings/index.ts'
import { breathe, failed, good, type Outcome, type PolygonKit, partOf, type Task } from '../engine/kernel/index.ts'
import { compareRecipes, RECIPE_FIELDS, type Recipe } from '../recipe/index.ts'
import { bestOfTrials, bestSoFarWords } from './best-of-trials.ts'
import { candidateRecipes, levelsFor, STEPS, VARIED_KEYS, type VariedKey, withSetting } from './candidates.ts'
import { seededNumbers, spreadOver, unbeatenRows } from './pareto.ts'
import {
  FAILS,
  FRAGILITY,
  GRAMS,
  gainWords,
  givesUpWords,
  isAlike,
  missedWords,
  overLimits,
  QUESTIONS,
  rowOf,
  SHAPE,
  TIME,
} from './questions.ts'
import { estimatedShape, fallsOf, type StanceEstimate, stanceEstimate } from './stance-estimate.ts'
import { ABOUT_STRENGTH, trialNumbers } from './trial.ts'
import type { Advice, AdvicePick, AdviceWish, Sensitivity, TrialNumbers } from './types.ts'

/** Starting values of a wish. */
export const ADVICE_DEFAULTS = Object.freeze({
  limits: Object.freeze({}),
  levels: Object.freeze({}),
  nTrials: 12,
  most: 5,
  seed: 1,
  thorough: false,
  beyondPractice: false,
})

/** Estimates may lie this far over a limit and still be tried. */
const SLACK = 0.25

/** Most bytes of outlines, beads and grids held for the next trial: a browser's worker bears this beside what it holds already. */
const KEPT_BYTES = 600e6

interface Candidate {
  readonly recipe: Recipe
  readonly stance: number
}

/** Factors and sums by which estimates of a stance are set right, per question. */
interface Correction {
  readonly times: readonly number[]
  readonly plus: readonly number[]
}

const checkWish = ({ nTrials, most, stances, limits, levels }: AdviceWish): Outcome<null> => {
  if (!(Number.isInteger(nTrials) && nTrials >= 2 && nTrials <= 200))
    return failed('advise/trials', `The number of trials is ${nTrials}, expected a whole number from 2 to 200.`)
  if (!(Number.isInteger(most) && most >= 1 && most <= 20))
    return failed('advise/most', `The length of the list is ${most}, expected a whole number from 1 to 20.`)
  if (stances.length === 0 || stances.length > 20)
    return failed('advise/stances', `There are ${stances.length} stances, expected 1 to 20, the given one first.`)
  for (const [key, value] of Object.entries(limits))
    if (value !== undefined && !(value > 0))
      return failed('advise/limit', `The limit ${key} is ${value}, expected a number above 0.`, { key })
  for (const [key, values] of Object.entries(levels)) {
    const field = RECIPE_FIELDS[key as VariedKey]
    if (!VARIED_KEYS.includes(key as VariedKey) || field?.kind !== 'number')
      return failed('advise/level', `${key} is not varied by advice; it varies ${VARIED_KEYS.join(', ')}.`, { key })
    if (!values || values.length === 0 || values.some((v) => !(v >= field.least && v <= field.most)))
      return failed('advise/level', `The levels of ${key} must be ${field.least} to ${field.most}.`, { key })
  }
  return good(null)
}

/** Searches. @param bytes the file of the figure @param name its name */
export const advise = async (
  bytes: Uint8Array,
  name: string,
  wish: AdviceWish,
  kit: PolygonKit,
  task?: Task,
): Promise<Outcome<Advice>> => {
  const sound = checkWish(wish)
  if (!sound.ok) return sound
  const { settings, stances, limits, seed } = wish
  const { printer, filament } = wish.settings
  const cards = { printer, filament }
  const base: Recipe = recipeInForce(settings)
  const levels = levelsFor(base, cards, wish.levels)
  const recipes = candidateRecipes(base, levels, cards, wish.beyondPractice)
  const examiner = createExaminer(kit, null, keptForSearch(KEPT_BYTES))
  const random = seededNumbers(seed)
  const quiet = (): Task | undefined => (task ? { signal: task.signal, breathe: task.breathe } : undefined)
  const stood = (stance: number): ExamineSettings => ({ ...settings, stance: stances[stance].stance })

  /** The dear look: beads, times, plastic, heat by the layer model, strength. */
  const lay = async ({ recipe, stance }: Candidate): Promise<Outcome<TrialNumbers>> => {
    const bare = { ...quiet(), withoutRemedies: true, heat: 'quick' } as const
    const outcome = await examiner.examine(bytes, name, withRecipe(stood(stance), recipe), bare)
    if (!outcome.ok) return outcome
    const numbers = trialNumbers(outcome.value)
    return numbers ? good(numbers) : failed('advise/no-beads', `No beads could be laid for ${name}.`)
  }

  // The given recipe first: everything is told against it, and estimates start from it.
  task?.onProgress?.(0, 'laying the given recipe')
  const first = await lay({ recipe: base, stance: 0 })
  if (!first.ok) return first
  const known: TrialNumbers = first.value

  // Cheap looks, one a stance.
  const looks: StanceEstimate[] = []
  let fall: (recipe: Recipe) => number = () => known.halfBreakM
  for (let s = 0; s < stances.length; s++) {
    task?.onProgress?.(0.08 + (0.12 * s) / stances.length, 'looking at outlines')
    await breathe(task)
    const outcome: Outcome<Examination> = await examiner.examine(bytes, name, withRecipe(stood(s), base), {
      ...quiet(),
      quick: true,
    })
    if (!outcome.ok) return outcome
    looks.push(stanceEstimate(outcome.value, filament, ABOUT_STRENGTH))
    if (s > 0) continue
    const step = partOf(task, 0.09, 0.2)
    fall = await fallsOf(outcome.value, filament, base, levels.nShells, levels.infillShare, step)
  }

  const candidates: Candidate[] = stances.flatMap((_, stance) => recipes.map((recipe) => ({ recipe, stance })))
  const estimates = new Float64Array(candidates.length * QUESTIONS)
  const plain = ({ recipe, stance }: Candidate): number[] => {
    const look = looks[stance]
    const { printS, massG } = look.estimate(recipe)
    return [
      known.fails + look.fails - looks[0].fails,
      1 / Math.max(fall(recipe), 1e-3),
      estimatedShape(look, recipe, base, known),
      printS,
      massG,
    ]
  }
  for (let i = 0; i < candidates.length; i++) {
    estimates.set(plain(candidates[i]), i * QUESTIONS)
    if (i % 200 === 199) await breathe(task)
  }

  // Trials, with what they say of the estimates.
  const laid = new Map<number, TrialNumbers>([[0, known]])
  const correctionOf = (stance: number): Correction => {
    const own = [...laid.keys()].filter((i) => candidates[i].stance === stance)
    const among = own.length > 0 ? own : [0]
    const times = new Array<number>(QUESTIONS).fill(1)
    const plus = new Array<number>(QUESTIONS).fill(0)
    for (let c = 0; c < QUESTIONS; c++) {
      const isSum = c === FAILS || c === SHAPE
      let sum = 0
      for (const i of among) {
        const estimate = estimates[i * QUESTIONS + c]
        const truth = rowOf(laid.get(i) as TrialNumbers)[c]
        sum += isSum ? truth - estimate : Math.log(Math.max(truth, 1e-9) / Math.max(estimate, 1e-9))
      }
      if (isSum) plus[c] = sum / among.length
      else times[c] = Math.exp(sum / among.length)
    }
    return { times, plus }
  }
  const corrected = (): Float64Array => {
    const corrections = stances.map((_, stance) => correctionOf(stance))
    const rows = new Float64Array(estimates.length)
    for (let i = 0; i < candidates.length; i++) {
      const { times, plus } = corrections[candidates[i].stance]
      const truth = laid.get(i)
      for (let c = 0; c < QUESTIONS; c++) rows[i * QUESTIONS + c] = estimates[i * QUESTIONS + c] * times[c] + plus[c]
      if (truth) rows.set(rowOf(truth), i * QUESTIONS)
    }
    return rows
  }
  /** How far the trials have come, in words. */
  const soFar = (): string => {
    const trials = [...laid.values()]
    const { best } = bestOfTrials(new Float64Array(trials.flatMap(rowOf)), limits)
    return bestSoFarWords(trials[best], known)
  }
  const tryMore = async (count: number, from: number, to: number): Promise<Outcome<null>> => {
    const rows = corrected()
    const at = (i: number): Float64Array => rows.subarray(i * QUESTIONS, (i + 1) * QUESTIONS)
    const all = candidates.map((_, i) => i)
    const within = all.filter((i) => overLimits(at(i), limits) <= SLACK)
    const among = within.length > 0 ? within : all
    const packed = new Float64Array(among.flatMap((i) => [...at(i)]))
    const front = unbeatenRows(packed, QUESTIONS).map((j) => among[j])
    // Where the front is smaller than what may be tried, the next best join it.
    const wanted = front.filter((i) => !laid.has(i)).length >= count ? front : among
    const chosen = spreadOver(rows, QUESTIONS, wanted, count, [...laid.keys()], random)
    // Alike stances and layer heights one after the other: their outlines are kept.
    const key = (i: number): number => candidates[i].stance * 1000 + candidates[i].recipe.layerHeightMm
    chosen.sort((a, b) => key(a) - key(b) || a - b)
    for (let n = 0; n < chosen.length; n++) {
      const share = from + ((to - from) * n) / chosen.length
      task?.onProgress?.(share, `laying recipe ${laid.size + 1}; ${soFar()}`)
      await breathe(task)
      const outcome = await lay(candidates[chosen[n]])
      if (!outcome.ok) return outcome
      laid.set(chosen[n], outcome.value)
    }
    return good(null)
  }
  const end = wish.thorough ? 0.6 : 0.97
  const half = Math.ceil((wish.nTrials - 1) / 2)
  for (const [count, from, to] of [
    [half, 0.2, (0.2 + end) / 2],
    [wish.nTrials - 1 - half, (0.2 + end) / 2, end],
  ] as const) {
    const outcome = await tryMore(count, from, to)
    if (!outcome.ok) return outcome
  }

  // What is told.
  const tried = [...laid.keys()].sort((a, b) => a - b)
  const rows = new Float64Array(tried.flatMap((i) => rowOf(laid.get(i) as TrialNumbers)))
  const rowAt = (j: number): Float64Array => rows.subarray(j * QUESTIONS, (j + 1) * QUESTIONS)
  const { isWithinLimits, unbeaten, best } = bestOfTrials(rows, limits)
  const numbersOf = (j: number): TrialNumbers => laid.get(tried[j]) as TrialNumbers
  // What nobody could tell apart is told once.
  const apart: number[] = [best]
  for (const j of unbeaten) if (!apart.some((other) => isAlike(numbersOf(other), numbersOf(j)))) apart.push(j)
  const listed = [best, ...spreadOver(rows, QUESTIONS, apart, wish.most - 1, [best], random)]
  const picks = listed.map((j): AdvicePick => {
    const { recipe, stance } = candidates[tried[j]]
    const own = numbersOf(j)
    const named = { ...recipe, name: tried[j] === 0 ? recipe.name : adviceName(base, listed.indexOf(j)) }
    return {
      recipe: named,
      stance,
      stanceWords: stances[stance].words,
      turned: stances[stance].stance,
      numbers: own,
      isBase: tried[j] === 0,
      isWithinLimits: overLimits(rowAt(j), limits) <= 0,
      changes: [
        ...(stance === 0 ? [] : [`stance: ${stances[stance].words}`]),
        ...compareRecipes(base, recipe).map(({ words }) => words),
      ],
      gains: gainWords(own, known),
      givesUp: givesUpWords(own, listed.map(numbersOf)),
      departs: checkRecipe(recipe, printer, filament)
        .filter(({ kind }) => kind === 'departure')
        .map(({ title }) => title),
    }
  })

  // How the result hangs on each setting, around the best.
  const centre = candidates[tried[best]]
  const { times } = correctionOf(centre.stance)
  const sensitivities: Sensitivity[] = []
  for (let n = 0; n < VARIED_KEYS.length; n++) {
    const key = VARIED_KEYS[n]
    task?.onProgress?.(end + ((1 - end) * n) / VARIED_KEYS.length, 'trying small changes')
    await breathe(task)
    const around = stepsAround(centre.recipe, key)
    if (!around) continue
    const rowsOf: number[][] = []
    for (const recipe of around.recipes) {
      const candidate = { ...centre, recipe }
      if (wish.thorough) {
        const outcome = await lay(candidate)
        if (!outcome.ok) return outcome
        rowsOf.push(rowOf(outcome.value))
      } else {
        rowsOf.push(plain(candidate).map((v, c) => v * times[c]))
      }
    }
    const per = (c: number): number => (rowsOf[1][c] - rowsOf[0][c]) / around.nSteps
    const isFallKnown = wish.thorough || key === 'nShells' || key === 'infillShare'
    const field = RECIPE_FIELDS[key]
    sensitivities.push({
      key,
      label: field.label,
      unit: field.unit,
      step: STEPS[key],
      halfBreakM: isFallKnown ? (1 / rowsOf[1][FRAGILITY] - 1 / rowsOf[0][FRAGILITY]) / around.nSteps : null,
      shapeMm3: wish.thorough ? per(SHAPE) : null,
      printS: per(TIME),
      massG: per(GRAMS),
      how: wish.thorough ? 'laid' : 'estimated',
    })
  }
  task?.onProgress?.(1, 'done')
  return good({
    kind: 'advice',
    picks,
    base: known,
    sensitivities,
    nEstimated: candidates.length,
    nLaid: laid.size + (wish.thorough ? 2 * sensitivities.length : 0),
    missed: isWithinLimits
      ? []
      : missedWords(
          tried.map((_, j) => rowAt(j)),
          limits,
        ),
    basis: [
      'Survival is the height from which half of all falls break something; shape is the volume out of place; both are models, not prints.',
      `${candidates.length} combinations were estimated from outlines, ${laid.size} had their beads laid, timed and weighed.`,
      'Shares for soft plastic and threads in the shape are from memory; computed, untried: print the first pick before you trust it.',
    ],
  })
}

const adviceName = (base: Recipe, place: number): string =>
  `${base.name}, advice ${place + 1} (computed, untried)`.slice(0, 200)

/** The recipe a step below and above, or as near as the range allows, with the distance in steps; null where it cannot move. */
const stepsAround = (
  recipe: Recipe,
  key: VariedKey,
): { readonly recipes: readonly [Recipe, Recipe]; readonly nSteps: number } | null => {
  const { least, most } = RECIPE_FIELDS[key]
  const low = Math.max(recipe[key] - STEPS[key], key === 'nShells' ? 1 : least)
  const high = Math.min(recipe[key] + STEPS[key], most)
  if (!(high > low)) return null
  const clean = (value: number): number => Number(value.toFixed(6))
  return {
    recipes: [withSetting(recipe, key, clean(low)), withSetting(recipe, key, clean(high))],
    nSteps: (high - low) / STEPS[key],
  }
}
