// From symptoms to causes: chances of every cause, the question that separates them best, the one change to make.
//
// Model: causes are there or not, independent of each other beforehand; a symptom shows unless every cause that is there fails to bring it
// about (noisy or, with a base); an answer's shares are the base times the ratio of every cause that is there. All sets of up to three
// causes are weighed exactly; what is not said is left open. Source: Pearl, Probabilistic Reasoning in Intelligent Systems (1988), 4.3.
// Limit: more than three causes at once are not thought of.

import { failed, good, type Issue, type Outcome } from '../../engine/kernel/index.ts'
import {
  ASK_IDS,
  type AskId,
  CAUSE_IDS,
  CAUSES,
  type Cause,
  QUESTIONS_TO_ASK,
  type QuestionToAsk,
  SYMPTOM_IDS,
  SYMPTOMS,
  type Symptom,
  type SymptomRow,
} from './causes.ts'
import type { Evidence } from './evidence.ts'

/** What is known. */
export interface Complaint {
  /** Symptoms seen, and symptoms looked for and not seen. */
  readonly seen: readonly string[]
  readonly notSeen: readonly string[]
  readonly answers: Readonly<Record<string, string>>
  /** What recipe, cards and examination say, as factors on the odds of causes. */
  readonly evidence: readonly Evidence[]
}

export interface CauseChance {
  readonly cause: Cause
  readonly label: string
  /** Chance that it is there, 0-1; several may be there at once. */
  readonly chance: number
}

export interface Diagnosis {
  readonly kind: 'diagnosis'
  /** Most likely first; those under 1 of 100 left out. */
  readonly causes: readonly CauseChance[]
  /** The question that separates them best for its effort; null when no question would tell much. */
  readonly question: {
    readonly id: AskId
    readonly ask: string
    readonly answers: readonly string[]
    readonly nats: number
  } | null
  /** What counted from recipe, cards and examination. */
  readonly evidence: readonly Evidence[]
}

/** Sets of at most three causes, as bits, with their weights beforehand. */
const MOST_AT_ONCE = 3
const causeSets = (most: number): Uint32Array => {
  const sets: number[] = []
  const n = CAUSE_IDS.length
  const add = (set: number, from: number, left: number): void => {
    sets.push(set)
    if (left === 0) return
    for (let i = from; i < n; i++) add(set | (1 << i), i + 1, left - 1)
  }
  add(0, 0, most)
  return Uint32Array.from(sets)
}

const has = (set: number, i: number): boolean => ((set >> i) & 1) === 1

/** Chance that a symptom shows when just these causes are there. */
const symptomChance = ({ base, from }: SymptomRow, set: number): number => {
  let misses = 1 - base
  for (let i = 0; i < CAUSE_IDS.length; i++) if (has(set, i)) misses *= 1 - (from[CAUSE_IDS[i]] ?? 0)
  return 1 - misses
}

/** Chance of every answer when just these causes are there. */
const answerChances = (question: QuestionToAsk, set: number): number[] => {
  const shares = question.base.slice()
  for (let i = 0; i < CAUSE_IDS.length; i++) {
    const own = has(set, i) ? question.with[CAUSE_IDS[i]] : undefined
    if (own) for (let a = 0; a < shares.length; a++) shares[a] *= own[a] / question.base[a]
  }
  const sum = shares.reduce((all, share) => all + share, 0)
  return shares.map((share) => share / sum)
}

/** What sets of causes say about every answer, worked out once: rows of as many numbers as there are answers. */
interface SetTables {
  readonly sets: Uint32Array
  readonly answers: ReadonlyMap<AskId, Float64Array>
}
const known = new Map<number, SetTables>()
const tablesFor = (most: number): SetTables => {
  const found = known.get(most)
  if (found) return found
  const sets = causeSets(most)
  const answers = new Map(
    ASK_IDS.map((id) => {
      const question: QuestionToAsk = QUESTIONS_TO_ASK[id]
      return [id, Float64Array.from([...sets].flatMap((set) => answerChances(question, set)))] as const
    }),
  )
  const tables = { sets, answers }
  known.set(most, tables)
  return tables
}

/** Questions that would teach less than this are not asked, nats. */
const LEAST_NATS = 0.04
const LEAST_CHANCE = 0.01

const unknown = (kind: string, word: string, known: readonly string[]): Issue => ({
  code: 'trials/unknown-word',
  message: `"${word}" is no ${kind} known here; there are ${known.join(', ')}.`,
  place: { key: word },
})

const faultsOf = ({ seen, notSeen, answers }: Complaint): Issue[] => [
  ...[...seen, ...notSeen].filter((word) => !(word in SYMPTOMS)).map((word) => unknown('symptom', word, SYMPTOM_IDS)),
  ...seen
    .filter((word) => notSeen.includes(word))
    .map((word) => ({ code: 'trials/contradiction', message: `"${word}" is said to be seen and not seen.` })),
  ...Object.entries(answers).flatMap(([id, answer]) => {
    if (!(id in QUESTIONS_TO_ASK)) return [unknown('question', id, ASK_IDS)]
    const known: readonly string[] = QUESTIONS_TO_ASK[id as AskId].answers
    return known.includes(answer) ? [] : [unknown(`answer to "${id}"`, answer, known)]
  }),
]

/**
 * Weighs the causes. Fails with "trials/unknown-word" or "trials/contradiction".
 * @param most causes thought of at once, for tests
 */
export const diagnose = (complaint: Complaint, most = MOST_AT_ONCE): Outcome<Diagnosis> => {
  const issues = faultsOf(complaint)
  if (issues.length > 0) return { ok: false, issues }
  const { seen, notSeen, answers, evidence } = complaint
  if (seen.length === 0) return failed('trials/no-symptom', `Name at least one symptom: ${SYMPTOM_IDS.join(', ')}.`)
  const odds = CAUSE_IDS.map((cause) => {
    const { prior } = CAUSES[cause]
    const factor = evidence.reduce((all, one) => (one.cause === cause ? all * one.factor : all), 1)
    return (prior / (1 - prior)) * factor
  })
  const tables = tablesFor(most)
  const { sets } = tables
  const weight = Float64Array.from(sets, (set, k) => {
    let w = 1
    for (let i = 0; i < odds.length; i++) if (has(set, i)) w *= odds[i]
    for (const word of seen) w *= symptomChance(SYMPTOMS[word as Symptom], set)
    for (const word of notSeen) w *= 1 - symptomChance(SYMPTOMS[word as Symptom], set)
    for (const [id, answer] of Object.entries(answers)) {
      const question: QuestionToAsk = QUESTIONS_TO_ASK[id as AskId]
      const shares = tables.answers.get(id as AskId)!
      w *= shares[k * question.answers.length + question.answers.indexOf(answer)]
    }
    return w
  })
  const sum = weight.reduce((all, w) => all + w, 0)
  for (let i = 0; i < weight.length; i++) weight[i] /= sum

  const causes = CAUSE_IDS.map((cause, i): CauseChance => {
    let chance = 0
    for (let k = 0; k < sets.length; k++) if (has(sets[k], i)) chance += weight[k]
    return { cause, label: CAUSES[cause].label, chance }
  })
    .filter(({ chance }) => chance >= LEAST_CHANCE)
    .sort((a, b) => b.chance - a.chance)
  return good({ kind: 'diagnosis', causes, question: bestQuestion(tables, weight, complaint), evidence })
}

/** Expected fall of uncertainty about the causes, nats. */
const natsOf = (nAnswers: number, shares: Float64Array, weight: Float64Array): number => {
  const whole = new Array<number>(nAnswers).fill(0)
  let within = 0
  for (let k = 0; k < weight.length; k++) {
    if (weight[k] < 1e-9) continue
    for (let a = 0; a < nAnswers; a++) {
      const share = shares[k * nAnswers + a]
      whole[a] += weight[k] * share
      within -= weight[k] * share * Math.log(share)
    }
  }
  return whole.reduce((nats, p) => (p > 0 ? nats - p * Math.log(p) : nats), 0) - within
}

/** A question about strings is asked only where there are some. */
const NEEDS: Readonly<Partial<Record<AskId, Symptom>>> = { 'kind of string': 'strings' }

const bestQuestion = (tables: SetTables, weight: Float64Array, { answers, seen }: Complaint): Diagnosis['question'] => {
  let best: Diagnosis['question'] = null
  let bestWorth = 0
  for (const id of ASK_IDS) {
    const needs = NEEDS[id]
    if (id in answers || (needs && !seen.includes(needs))) continue
    const question: QuestionToAsk = QUESTIONS_TO_ASK[id]
    const nats = natsOf(question.answers.length, tables.answers.get(id)!, weight)
    if (nats < LEAST_NATS || nats / question.effort <= bestWorth) continue
    bestWorth = nats / question.effort
    best = { id, ask: question.ask, answers: question.answers, nats }
  }
  return best
}
