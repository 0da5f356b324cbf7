// What each of the looked-at stances is best at and what it gives up, in words; and which of them no other beats.

import type { StanceLook } from './types.ts'

type Numbers = Omit<StanceLook, 'unbeaten' | 'gains' | 'givesUp'>

/** One question that stances are compared by. */
interface Question {
  readonly value: (look: Numbers) => number
  readonly better: 'more' | 'less'
  /** Differences smaller than this share of the better value, and than this amount, are not told. */
  readonly share: number
  readonly least: number
  readonly best: (look: Numbers) => string
  readonly loss: (look: Numbers, best: Numbers) => string
}

const by = (value: number, unit: string, decimals = 0): string => `${value.toFixed(decimals)} ${unit}`

const QUESTIONS: readonly Question[] = [
  {
    value: (l) => (Number.isNaN(l.leastForceN) ? Number.POSITIVE_INFINITY : l.leastForceN),
    better: 'more',
    share: 0.08,
    least: 0.05,
    best: (l) => `strongest: its weakest limb takes ${by(l.leastForceN, 'N', 2)} (${by(l.weakThickMm, 'mm', 1)} thick)`,
    loss: (l, b) => `breaks at ${by(l.leastForceN, 'N', 2)}, ${by(b.leastForceN, 'N', 2)} when ${b.attitude}`,
  },
  {
    value: (l) => l.propRoomMm3,
    better: 'less',
    share: 0.15,
    least: 30,
    best: (l) => `least to prop: ${by(l.undersideMm2, 'mm2')} beyond what a bead carries`,
    loss: (l, b) =>
      `needs more props: ${by(l.propRoomMm3, 'mm3')} of room below its undersides, ${by(b.propRoomMm3, 'mm3')} when ${b.attitude}`,
  },
  {
    value: (l) => (Number.isNaN(l.headStepUm) ? 0 : l.headStepUm),
    better: 'less',
    share: 0.05,
    least: 2,
    best: (l) => `smoothest head: steps of ${by(l.headStepUm, 'um')} on the mean`,
    loss: (l, b) => `steps of ${by(l.headStepUm, 'um')} on the head, ${by(b.headStepUm, 'um')} when ${b.attitude}`,
  },
  {
    value: (l) => l.minutes,
    better: 'less',
    share: 0.04,
    least: 1,
    best: (l) => `quickest: ${by(l.minutes, 'min')}`,
    loss: (l, b) => `takes ${by(l.minutes - b.minutes, 'min')} more than when ${b.attitude}`,
  },
  {
    // A light push is enough; more hold than that is worth nothing.
    value: (l) => Math.min(l.pryN, 1),
    better: 'more',
    share: 0.1,
    least: 0.05,
    best: (l) => `holds on to the bed by itself: ${by(l.contactMm2, 'mm2')}`,
    loss: (l) => `stands on ${by(l.contactMm2, 'mm2')} alone: it needs feet or a wide first layer beside it`,
  },
]

/** Better by more than the grain: positive, else 0. */
const lead = (q: Question, a: Numbers, b: Numbers): number => {
  const [x, y] = [q.value(a), q.value(b)]
  if (x === y) return 0
  const gap = q.better === 'more' ? x - y : y - x
  return gap > Math.max(q.least, q.share * Math.abs(q.better === 'more' ? x : y)) ? gap : 0
}

const isBeaten = (look: Numbers, others: readonly Numbers[]): boolean =>
  others.some(
    (other) =>
      other !== look &&
      QUESTIONS.every((q) => lead(q, look, other) === 0) &&
      QUESTIONS.some((q) => lead(q, other, look) > 0),
  )

/** How far a look stands behind the best ones, summed over the questions; for the order of telling. */
const behind = (look: Numbers, looks: readonly Numbers[]): number =>
  QUESTIONS.reduce((total, q) => {
    const best = bestOf(q, looks)
    const [x, y] = [q.value(look), q.value(best)]
    if (!Number.isFinite(x) || !Number.isFinite(y)) return total
    const size = Math.max(Math.abs(x), Math.abs(y), 1e-9)
    return total + Math.abs(x - y) / size
  }, 0)

const bestOf = (q: Question, looks: readonly Numbers[]): Numbers =>
  looks.reduce((best, look) => {
    const [x, y] = [q.value(look), q.value(best)]
    return (q.better === 'more' ? x > y : x < y) ? look : best
  })

/** Adds gains and losses in words; the first (the given stance) stays first, the others come best all round first. */
export const compareLooks = <L extends Numbers>(
  looks: readonly L[],
): (L & Pick<StanceLook, 'unbeaten' | 'gains' | 'givesUp'>)[] => {
  const told = looks.map((look) => {
    const gains: string[] = []
    const givesUp: string[] = []
    for (const q of QUESTIONS) {
      const best = bestOf(q, looks)
      if (lead(q, best, look) > 0) givesUp.push(q.loss(look, best))
      else if (looks.some((other) => lead(q, look, other) > 0)) gains.push(q.best(look))
    }
    return { ...look, unbeaten: !isBeaten(look, looks), gains, givesUp }
  })
  const [given, ...others] = told
  const order = others.map((look) => ({ look, behind: behind(look, looks) + (look.unbeaten ? 0 : 10) }))
  order.sort((a, b) => a.behind - b.behind)
  return given ? [given, ...order.map(({ look }) => look)] : []
}
