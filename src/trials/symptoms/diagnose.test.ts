import { expect, test } from 'vitest'
import { STARTING_FILAMENT, STARTING_PRINTER, STARTING_RECIPE } from '../../recipe/index.ts'
import { ASK_IDS, CAUSE_IDS, QUESTIONS_TO_ASK, type QuestionToAsk, SYMPTOM_IDS } from './causes.ts'
import { changeFor } from './change.ts'
import { type Complaint, diagnose } from './diagnose.ts'
import { evidenceOfHeat, evidenceOfRecipe, softLayerShare } from './evidence.ts'

const cards = { recipe: STARTING_RECIPE, printer: STARTING_PRINTER, filament: STARTING_FILAMENT }
const of = (complaint: Partial<Complaint>, most?: number) => {
  const found = diagnose({ seen: [], notSeen: [], answers: {}, evidence: [], ...complaint }, most)
  if (!found.ok) throw new Error(found.issues[0].message)
  return found.value
}
const chance = (complaint: Partial<Complaint>, cause: string): number =>
  of(complaint).causes.find((one) => one.cause === cause)?.chance ?? 0

test('shares of every question add up, for every cause', () => {
  for (const id of ASK_IDS) {
    const question: QuestionToAsk = QUESTIONS_TO_ASK[id]
    for (const shares of [question.base, ...Object.values(question.with)]) {
      expect(shares).toHaveLength(question.answers.length)
      expect(shares.reduce((a, b) => a + b, 0)).toBeCloseTo(1, 9)
      expect(shares.every((share) => share > 0)).toBe(true)
    }
  }
})

test('each cause can come out on top, and has a change of its own', () => {
  const tops = new Set<string>()
  for (const a of SYMPTOM_IDS)
    for (const id of ASK_IDS)
      for (const answer of QUESTIONS_TO_ASK[id].answers) {
        const top = of({ seen: [a], answers: { [id]: answer } }).causes[0]
        if (top) tops.add(top.cause)
      }
  const rare = CAUSE_IDS.filter((cause) => !tops.has(cause))
  // Those that share every symptom with a likelier cause need what the recipe says.
  expect(rare.every((cause) => ['linger', 'melt', 'lean', 'fast'].includes(cause))).toBe(true)
  for (const cause of CAUSE_IDS) expect(changeFor([{ cause, label: cause, chance: 1 }], cards)).not.toBeNull()
})

test('crackling settles it: dry the spool', () => {
  const found = of({ seen: ['strings'], answers: { crackle: 'yes' } })
  expect(found.causes[0].cause).toBe('damp')
  expect(found.causes[0].chance).toBeGreaterThan(0.85)
  expect(changeFor(found.causes, cards)?.words).toMatch(/^Dry the spool/)
  expect(chance({ seen: ['strings'], answers: { crackle: 'no' } }, 'damp')).toBeLessThan(0.12)
})

test('what the engine says of strings turns the verdict', () => {
  const inside = [
    { cause: 'pressure' as const, factor: 4, because: '' },
    { cause: 'surplus' as const, factor: 0.4, because: '' },
  ]
  const outside = [
    { cause: 'pressure' as const, factor: 0.4, because: '' },
    { cause: 'surplus' as const, factor: 6, because: '' },
  ]
  const dry = { seen: ['strings'], answers: { crackle: 'no' } }
  expect(of({ ...dry, evidence: inside }).causes[0].cause).toBe('pressure')
  expect(of({ ...dry, evidence: outside }).causes[0].cause).toBe('surplus')
})

test('melted thin parts: longer layers, and heat that speaks for or against it', () => {
  const found = of({ seen: ['melted'], answers: { 'thin parts only': 'yes' } })
  expect(found.causes[0].cause).toBe('soft')
  expect(changeFor(found.causes, cards)).toMatchObject({ setting: 'leastLayerTimeS', from: 10, to: 13 })
  const share = softLayerShare({ topC: Float64Array.of(Number.NaN, 40, 60, 70, 50), limitC: 53 })
  expect(share).toBe(0.5)
  const withHeat = chance({ seen: ['melted'], evidence: evidenceOfHeat(share) }, 'soft')
  const without = chance({ seen: ['melted'], evidence: evidenceOfHeat(0) }, 'soft')
  expect(withHeat).toBeGreaterThan(without + 0.2)
})

test('a nozzle at its hottest is suspected first; at the end of the ladder another change is named', () => {
  const hot = { ...cards, recipe: { ...STARTING_RECIPE, nozzleC: 205 } }
  const base = chance({ seen: ['strings'] }, 'hot')
  expect(chance({ seen: ['strings'], evidence: evidenceOfRecipe(hot) }, 'hot')).toBeGreaterThan(base)
  const coldest = { ...cards, recipe: { ...STARTING_RECIPE, nozzleC: 185 } }
  expect(changeFor([{ cause: 'hot', label: '', chance: 1 }], coldest)?.setting).not.toBe('nozzleC')
})

test('the change to the nozzle is one step of 5 deg C', () => {
  expect(changeFor([{ cause: 'hot', label: '', chance: 0.9 }], cards)).toMatchObject({
    setting: 'nozzleC',
    from: 195,
    to: 190,
  })
})

test('questions are asked while they tell, and the best one first', () => {
  const first = of({ seen: ['strings'] })
  expect(first.question).not.toBeNull()
  let answers: Record<string, string> = {}
  let steps = 0
  for (let found = first; found.question && steps < 20; steps++) {
    answers = { ...answers, [found.question.id]: found.question.id === 'crackle' ? 'yes' : found.question.answers[0] }
    found = of({ seen: ['strings'], answers })
  }
  expect(steps).toBeGreaterThan(0)
  expect(steps).toBeLessThan(ASK_IDS.length)
})

test('three causes at once are enough: five change next to nothing', () => {
  const complaint = { seen: ['strings', 'blobs', 'gaps'], answers: { 'feed mark': 'over' } }
  const three = of(complaint, 3).causes
  const five = of(complaint, 5).causes
  for (const { cause, chance } of five) {
    const other = three.find((one) => one.cause === cause)?.chance ?? 0
    expect(Math.abs(other - chance)).toBeLessThan(0.08)
  }
  expect(three[0].cause).toBe(five[0].cause)
})

test('words that are not known and contradictions are refused', () => {
  const codes = (complaint: Partial<Complaint>): string[] => {
    const found = diagnose({ seen: [], notSeen: [], answers: {}, evidence: [], ...complaint })
    return found.ok ? [] : found.issues.map(({ code }) => code)
  }
  expect(codes({ seen: ['bad luck'] })).toEqual(['trials/unknown-word'])
  expect(codes({ seen: ['strings'], answers: { crackle: 'maybe' } })).toEqual(['trials/unknown-word'])
  expect(codes({ seen: ['strings'], answers: { weather: 'wet' } })).toEqual(['trials/unknown-word'])
  expect(codes({ seen: ['strings'], notSeen: ['strings'] })).toEqual(['trials/contradiction'])
  expect(codes({})).toEqual(['trials/no-symptom'])
})
