// Trials against published procedures, closed forms and direct sums: up and down, expected information, posteriors, intervals.

import { describe, expect, test } from 'vitest'
import { STARTING_FILAMENT, STARTING_PRINTER, STARTING_RECIPE } from '../../src/recipe/index.ts'
import {
  ALIKE,
  betaQuantile,
  chanceAt,
  entropyOf,
  estimateUpAndDown,
  informationAt,
  jeffreysInterval,
  judgeInTurn,
  LADDERS,
  learn,
  levelsOf,
  mostTelling,
  nextUpAndDown,
  successPrior,
  thresholdOf,
  wilsonInterval,
} from '../../src/trials/index.ts'
import { seededRandom } from '../seeded-random.ts'
import { checkOutside } from '../validation.ts'

const room = 'trials'

/** Normal share by Simpson's rule: a second opinion on everything that rests on it. */
const normalBySimpson = (x: number): number => {
  if (x < -9) return 0
  if (x > 9) return 1
  const n = 2000
  const h = (x + 9) / n
  let sum = 0
  for (let i = 0; i <= n; i++) {
    const t = -9 + i * h
    sum += (i === 0 || i === n ? 1 : i % 2 === 1 ? 4 : 2) * Math.exp((-t * t) / 2)
  }
  return (sum * h) / 3 / Math.sqrt(2 * Math.PI)
}

/** Twenty drops up and down, mm: o survives, x breaks. */
const DROPS = [
  [500, 1], [600, 1], [700, 0], [600, 0], [500, 1], [600, 1], [700, 0], [600, 0], [500, 0], [400, 1],
  [500, 1], [600, 0], [500, 1], [600, 0], [500, 0], [400, 1], [500, 1], [600, 1], [700, 0], [600, 0],
].map(([level, good]) => ({ level, good: good === 1 })) // biome-ignore format: pairs

describe('up and down', () => {
  const source = 'Dixon & Mood, J. Am. Stat. Assoc. 43:109-126 (1948); formulas from memory'
  const estimate = estimateUpAndDown(DROPS, 100)
  test('twenty drops: middle and spread', () => {
    if (!estimate.ok) throw new Error(estimate.issues[0].message)
    const { threshold, spread, n, a, b, m } = estimate.value
    expect([n, a, b]).toEqual([10, 11, 17])
    const of = { room, model: 'up and down, survivals counted', source, unit: 'mm' }
    checkOutside({ ...of, case: 'N 10, A 11, B 17, step 100: middle', expected: 560, got: threshold, allowed: 1e-9 })
    checkOutside({ ...of, case: 'the same: M', expected: 0.49, got: m, allowed: 1e-12, unit: '' })
    checkOutside({ ...of, case: 'the same: spread', expected: 84.08, got: spread, allowed: 0.005 })
  })
  test('the other outcome counted gives the same middle', () => {
    const bad = estimateUpAndDown(
      DROPS.map(({ level, good }) => ({ level: 1200 - level, good: !good })),
      100,
    )
    expect(bad.ok && bad.value.threshold).toBe(640)
  })
  test('against greatest likelihood of a normal threshold', () => {
    let best = { mu: 0, sigma: 0, log: Number.NEGATIVE_INFINITY }
    for (let mu = 540; mu <= 580; mu += 0.5)
      for (let sigma = 60; sigma <= 110; sigma += 0.5) {
        const log = DROPS.reduce((sum, { level, good }) => {
          const p = normalBySimpson((mu - level) / sigma)
          return sum + Math.log(good ? p : 1 - p)
        }, 0)
        if (log > best.log) best = { mu, sigma, log }
      }
    const likelihood = 'greatest likelihood of a normal threshold, searched on a fine grid by the test itself'
    const of = { room, model: 'up and down against likelihood', source: likelihood, unit: 'mm', case: 'middle' }
    if (!estimate.ok) throw new Error('no estimate')
    checkOutside({ ...of, expected: best.mu, got: estimate.value.threshold, allowed: 1 })
    checkOutside({ ...of, case: 'spread', expected: best.sigma, got: estimate.value.spread, allowed: 1.5 })
  })
  test('the walk goes a step on after a good one, a step back after a bad one', () => {
    for (let k = 1; k < DROPS.length; k++) expect(nextUpAndDown(DROPS[k - 1], 100, 0, 1000)).toBe(DROPS[k].level)
  })
})

describe('next level by expected information', () => {
  const source =
    'Kontsevich & Tyler, Vision Res. 39:2729-2737 (1999) for the method; numbers by direct sums over the 324 curves'
  const prior = successPrior({
    shape: 'falling',
    from: 200,
    to: 1000,
    gridStep: 10,
    spreads: [25, 50, 100, 200],
    lapse: 0,
  })
  const levels = Array.from({ length: 17 }, (_, i) => 200 + 50 * i)
  const of = { room, model: 'expected entropy after one trial', source, unit: 'nats' }
  test('uncertainty, first choice, and the choice after one survival', () => {
    checkOutside({
      ...of,
      case: 'before the first trial: ln 324',
      expected: Math.log(324),
      got: entropyOf(prior),
      allowed: 1e-12,
    })
    for (const [level, expected] of [
      [600, 5.29104],
      [550, 5.29774],
      [650, 5.29774],
      [200, 5.693],
    ])
      checkOutside({
        ...of,
        case: `after a trial at ${level}`,
        expected,
        got: entropyOf(prior) - informationAt(prior, level),
        allowed: 5e-5 + (level === 200 ? 5e-4 : 0),
      })
    expect(mostTelling(prior, levels).level).toBe(600)
    const after = learn(prior, [{ level: 600, good: 1, tried: 1 }], 0)
    expect(mostTelling(after, levels).level).toBe(800)
    checkOutside({
      ...of,
      unit: 'mm',
      case: 'mean threshold after "survives 600"',
      expected: 787.02,
      got: thresholdOf(after).mean,
      allowed: 0.01,
    })
  })
  test('after twenty drops', () => {
    const after = learn(
      prior,
      DROPS.map(({ level, good }) => ({ level, good: good ? 1 : 0, tried: 1 })),
      0,
    )
    const { mean, deviation } = thresholdOf(after)
    let spread = 0
    for (let i = 0; i < after.weight.length; i++) spread += after.weight[i] * after.spread[i]
    const twenty = { ...of, unit: 'mm' }
    checkOutside({ ...twenty, case: 'twenty drops: mean threshold', expected: 560.03, got: mean, allowed: 0.01 })
    checkOutside({ ...twenty, case: 'twenty drops: its deviation', expected: 42.08, got: deviation, allowed: 0.01 })
    checkOutside({ ...twenty, case: 'twenty drops: mean spread', expected: 127.55, got: spread, allowed: 0.01 })
    expect(mostTelling(after, levels).level).toBe(700)
  })
})

describe('posterior', () => {
  test('a sharp threshold between a good and a bad print: even in between (closed form)', () => {
    const prior = successPrior({ shape: 'falling', from: 0, to: 100, gridStep: 0.25, spreads: [1e-6], lapse: 0 })
    const after = learn(
      prior,
      [
        { level: 30.1, good: 1, tried: 1 },
        { level: 70.1, good: 0, tried: 1 },
      ],
      0,
    )
    const { mean, deviation, low, high } = thresholdOf(after)
    const of = { room, model: 'posterior of a sharp threshold', source: 'even distribution, closed form', unit: '' }
    checkOutside({ ...of, case: 'mean between 30.1 and 70.1', expected: 50.1, got: mean, allowed: 0.13 })
    checkOutside({
      ...of,
      case: 'deviation: width over root 12',
      expected: 40 / Math.sqrt(12),
      got: deviation,
      allowed: 0.02,
    })
    checkOutside({ ...of, case: '5 of 100', expected: 32.1, got: low, allowed: 0.15 })
    checkOutside({ ...of, case: '95 of 100', expected: 68.1, got: high, allowed: 0.15 })
  })

  test('a normal opinion and no print stays what it was (closed form)', () => {
    const prior = successPrior({
      shape: 'rising',
      from: 0,
      to: 100,
      gridStep: 0.5,
      spreads: [3],
      expected: { at: 47, deviation: 8 },
    })
    const { mean, deviation, low, high } = thresholdOf(prior)
    const of = { room, model: 'prior on the grid', source: 'normal distribution, closed form', unit: '' }
    checkOutside({ ...of, case: 'mean', expected: 47, got: mean, allowed: 1e-3 })
    checkOutside({ ...of, case: 'deviation', expected: 8, got: deviation, allowed: 1e-3 })
    checkOutside({ ...of, case: '5 of 100', expected: 47 - 1.6449 * 8, got: low, allowed: 0.01 })
    checkOutside({ ...of, case: '95 of 100', expected: 47 + 1.6449 * 8, got: high, allowed: 0.01 })
  })

  test('against numerical integration with other steps, another rule and another normal share', () => {
    // Flat prior on the threshold, spread known: 10 good of 12 at 40, 3 of 8 at 60.
    const counts = [
      { level: 40, good: 10, tried: 12 },
      { level: 60, good: 3, tried: 8 },
    ]
    const prior = successPrior({ shape: 'falling', from: 0, to: 100, gridStep: 0.5, spreads: [12], lapse: 0.025 })
    const grid = learn(prior, counts, 0)
    const n = 4000
    let [sum, first, second, chance] = [0, 0, 0, 0]
    for (let i = 0; i <= n; i++) {
      const mu = (100 * i) / n
      const p = (level: number): number => 0.025 + 0.95 * normalBySimpson((mu - level) / 12)
      const like = counts.reduce((all, c) => all * p(c.level) ** c.good * (1 - p(c.level)) ** (c.tried - c.good), 1)
      const w = (i === 0 || i === n ? 1 : i % 2 === 1 ? 4 : 2) * like
      sum += w
      first += w * mu
      second += w * mu * mu
      chance += w * p(50)
    }
    const mean = first / sum
    const of = { room, model: 'posterior of threshold', source: "Simpson's rule on 4000 parts", unit: '' }
    checkOutside({ ...of, case: 'mean', expected: mean, got: thresholdOf(grid).mean, allowed: 1e-3 })
    checkOutside({
      ...of,
      case: 'deviation',
      expected: Math.sqrt(second / sum - mean * mean),
      got: thresholdOf(grid).deviation,
      allowed: 2e-3,
    })
    checkOutside({
      ...of,
      case: 'chance of a good print at 50',
      expected: chance / sum,
      got: chanceAt(grid, 50).mean,
      allowed: 1e-4,
    })
  })

  test('a share by itself is the conjugate beta', () => {
    const source = 'beta distribution: conjugate to counts, closed form'
    const of = { room, model: 'quantile of the beta distribution', source, unit: '' }
    // One shape of the beta is a power: the share below x is x^a.
    checkOutside({
      ...of,
      case: 'a 5, b 1, 5 of 100',
      expected: 0.05 ** 0.2,
      got: betaQuantile(0.05, 5, 1),
      allowed: 1e-10,
    })
    checkOutside({
      ...of,
      case: 'a 1, b 8, 90 of 100',
      expected: 1 - 0.1 ** (1 / 8),
      got: betaQuantile(0.9, 1, 8),
      allowed: 1e-10,
    })
    checkOutside({ ...of, case: 'a 2, b 2, 50 of 100', expected: 0.5, got: betaQuantile(0.5, 2, 2), allowed: 1e-10 })
  })
})

test('intervals of a share against published numbers', () => {
  const newcombe = {
    room,
    model: 'Wilson interval, 95 %',
    source: 'Newcombe, Statistics in Medicine 17:857-872 (1998), table I, score method; from memory',
    unit: '',
  }
  for (const [x, n, low, high] of [
    [81, 263, 0.2553, 0.3662],
    [15, 148, 0.0624, 0.1605],
    [0, 20, 0, 0.1611],
    [1, 29, 0.0061, 0.1718],
  ]) {
    const got = wilsonInterval(x, n)
    checkOutside({ ...newcombe, case: `${x} of ${n}, low`, expected: low, got: got.low, allowed: 5.1e-5 })
    checkOutside({ ...newcombe, case: `${x} of ${n}, high`, expected: high, got: got.high, allowed: 5.1e-5 })
  }
  const jeffreys = {
    room,
    model: 'Jeffreys interval, 95 %',
    source: 'Brown, Cai & DasGupta, Statistical Science 16 (2001), definition; numbers by other means, from memory',
    unit: '',
  }
  for (const [x, n, low, high] of [
    [5, 5, 0.6206, 1],
    [8, 10, 0.4972, 0.9559],
    [19, 20, 0.7892, 0.9946],
  ]) {
    const got = jeffreysInterval(x, n)
    checkOutside({ ...jeffreys, case: `${x} of ${n}, low`, expected: low, got: got.low, allowed: 1e-4 })
    checkOutside({ ...jeffreys, case: `${x} of ${n}, high`, expected: high, got: got.high, allowed: 1e-4 })
  }
})

test('print after print: when to take a recipe and when to drop it', () => {
  const of = {
    room,
    model: 'sequential test, 0.5 against 0.95, wrong take 0.05, wrong drop 0.10',
    source: 'Wald, Sequential Analysis (1947); sums over all ways by the test itself',
    unit: '',
  }
  const { takeAt, dropAt } = judgeInTurn(0, 0)
  checkOutside({ ...of, case: 'upper bound, ln 18', expected: 2.89, got: takeAt, allowed: 5e-4 })
  checkOutside({ ...of, case: 'lower bound, ln (2/19)', expected: -2.251, got: dropAt, allowed: 5e-4 })
  expect(judgeInTurn(5, 0).verdict).toBe('take')
  expect(judgeInTurn(4, 0).verdict).toBe('go on')
  expect(judgeInTurn(0, 1).verdict).toBe('drop')
  const walk = (p: number): { taken: number; prints: number; score: number } => {
    let open = new Map([['0 0', 1]])
    let [taken, prints, ended] = [0, 0, 0]
    for (let k = 1; k < 300 && open.size > 0; k++) {
      const next = new Map<string, number>()
      for (const [key, weight] of open) {
        prints += weight
        const [good, bad] = key.split(' ').map(Number)
        for (const [g, b, w] of [
          [good + 1, bad, weight * p],
          [good, bad + 1, weight * (1 - p)],
        ]) {
          const { verdict, score } = judgeInTurn(g, b)
          if (verdict !== 'go on') ended += w * score
          if (verdict === 'take') taken += w
          else if (verdict === 'go on' && w > 1e-14) next.set(`${g} ${b}`, (next.get(`${g} ${b}`) ?? 0) + w)
        }
      }
      open = next
    }
    return { taken, prints, score: ended }
  }
  const fine = walk(0.95)
  const poor = walk(0.5)
  checkOutside({ ...of, case: 'takes one that works 19 of 20 times', expected: 0.932, got: fine.taken, allowed: 1e-3 })
  checkOutside({ ...of, case: 'takes one that works half the time', expected: 0.037, got: poor.taken, allowed: 1e-3 })
  // Wald's identity: mean prints times the mean step is the mean score at the end.
  for (const [p, { prints, score }] of [
    [0.95, fine],
    [0.5, poor],
  ] as const)
    checkOutside({
      ...of,
      source: "Wald's identity, Sequential Analysis (1947)",
      case: `mean prints where ${p} of the prints are good`,
      expected: score / (p * Math.log(1.9) + (1 - p) * Math.log(0.1)),
      got: prints,
      allowed: 1e-6,
    })
})

test('facts of the trade that the ladders hold to', () => {
  const of = { room, source: 'common practice, no source', unit: 'deg C' }
  const cards = { recipe: STARTING_RECIPE, printer: STARTING_PRINTER, filament: STARTING_FILAMENT }
  const nozzle = levelsOf(LADDERS.nozzleC, cards)
  checkOutside({ ...of, model: 'nozzle ladder, PLA', case: 'coolest', expected: 185, got: nozzle[0], allowed: 0 })
  checkOutside({
    ...of,
    model: 'nozzle ladder, PLA',
    case: 'hottest',
    expected: 205,
    got: nozzle.at(-1) ?? 0,
    allowed: 0,
  })
  checkOutside({
    ...of,
    model: 'nozzle ladder, PLA',
    case: 'most at once',
    expected: 5,
    got: LADDERS.nozzleC.mostStep,
    allowed: 0,
    relation: 'at most',
  })
  const retraction = levelsOf(LADDERS.retractionMm, cards)
  checkOutside({
    ...of,
    unit: 'mm',
    model: 'retraction ladder, bowden feed',
    case: 'longest: much longer than 5 chews the filament',
    expected: 7,
    got: retraction.at(-1) ?? 0,
    allowed: 0,
    relation: 'at most',
  })
  checkOutside({
    ...of,
    unit: 'mm/s',
    model: 'outer shell ladder',
    case: 'slowest: at 10 to 12 the nozzle lingers',
    expected: 12,
    got: levelsOf(LADDERS.outerShellSpeedMmPerS, cards)[0],
    allowed: 0,
    relation: 'at least',
  })
  expect(ALIKE).toBeGreaterThan(0)
})

test('own numbers: stated ranges of strength hold nine times of ten', async () => {
  const { believedStrength, cardBelief, learnNormal } = await import('../../src/trials/constants/weld-strength.ts')
  const random = seededRandom(77)
  const normal = (): number => Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random())
  let held = 0
  const runs = 2000
  for (let run = 0; run < runs; run++) {
    const prior = cardBelief(22.8)
    // Variance from the prior's inverse gamma of shape 3: a sum of three exponentials is a gamma.
    const precision = -Math.log((1 - random()) * (1 - random()) * (1 - random())) / prior.scale
    const scatter = 1 / Math.sqrt(precision)
    const middle = prior.middle + (scatter / Math.sqrt(prior.readings)) * normal()
    const logs = Array.from({ length: 4 }, () => middle + scatter * normal())
    const { low, high } = believedStrength(learnNormal(prior, logs))
    if (middle >= Math.log(low) && middle <= Math.log(high)) held++
  }
  const of = {
    room,
    model: '90 % range of strength across layers',
    source: 'simulation from the conjugate normal model, Gelman et al., Bayesian Data Analysis, 3.3',
    case: 'four rods, share that holds',
    unit: '',
  }
  checkOutside({ ...of, expected: 0.9, got: held / runs, allowed: 0.02 })
})
