// Trials against published procedures, closed forms, direct sums, simulated printers, a measured data set, and coupons read back.

import { existsSync, readFileSync } from 'node:fs'
import { beforeAll, describe, expect, test } from 'vitest'
import { filamentArea } from '../../src/engine/beads/index.ts'
import type { PolygonKit } from '../../src/engine/kernel/index.ts'
import { loadPolygonKit } from '../../src/pool/node.ts'
import { STARTING_FILAMENT, STARTING_PRINTER, STARTING_RECIPE } from '../../src/recipe/index.ts'
import {
  ALIKE,
  betaQuantile,
  CAUSES,
  type Cause,
  COUPON_QUESTIONS,
  chanceAt,
  diagnose,
  entropyOf,
  estimateUpAndDown,
  fitResponse,
  informationAt,
  jeffreysInterval,
  judgeInTurn,
  LADDERS,
  type LadderSetting,
  learn,
  levelsOf,
  makeCoupon,
  mostTelling,
  nextUpAndDown,
  QUESTIONS,
  responseAt,
  SYMPTOMS,
  successPrior,
  thresholdOf,
  wilsonInterval,
  writeCoupon,
} from '../../src/trials/index.ts'
import { randomTests, readBarrels, testsNeeded } from '../barrel-designs.ts'
import { seededRandom } from '../seeded-random.ts'
import {
  byGrid,
  byHalving,
  byInformation,
  chancesHold,
  intervalsHold,
  meanErrors,
  printsNeeded,
} from '../simulated-printers.ts'
import { checkOutside, notRunHere } from '../validation.ts'

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

describe('simulated printers', () => {
  const source = 'simulation: 400 printers drawn from what is held possible beforehand'
  test('stated ranges hold nine times of ten, and stated chances come true', () => {
    for (const nPrints of [3, 8, 15]) {
      const { share } = intervalsHold(400, nPrints, 20_261)
      const of = {
        room,
        model: '90 % range of the threshold',
        source,
        case: `after ${nPrints} prints, share that holds`,
        unit: '',
      }
      checkOutside({ ...of, expected: 0.85, got: share, allowed: 0, relation: 'at least' })
      checkOutside({ ...of, expected: 0.95, got: share, allowed: 0, relation: 'at most' })
    }
    checkOutside({
      room,
      model: 'stated chance of a good print',
      source,
      case: 'after 6 prints: mean gap between stated and seen over ten bins',
      expected: 0.03,
      got: chancesHold(400, 6, 977, 10),
      allowed: 0,
      relation: 'at most',
      unit: '',
    })
  })

  test('prints needed against halving and a grid', () => {
    const information = meanErrors(byInformation, 400, 24, 5)
    const halving = meanErrors(byHalving, 400, 24, 5)
    const grid = meanErrors(byGrid, 400, 66, 5)
    const of = { room, source, unit: 'prints' }
    const few = printsNeeded(information, 5)
    // Halving cannot take back a wrong turn: it stops getting better at an error of about a step.
    checkOutside({
      ...of,
      model: 'prints until the mean error is a step (5 of 100), as share of a grid',
      case: 'expected information over grid',
      expected: 0.5,
      got: few / printsNeeded(grid, 5),
      allowed: 0,
      relation: 'at most',
      unit: '',
    })
    checkOutside({
      ...of,
      model: 'prints until the mean error is a step (5 of 100)',
      case: 'expected information against plain halving',
      expected: printsNeeded(halving, 5),
      got: few,
      allowed: 0,
      relation: 'at most',
    })
    checkOutside({
      ...of,
      model: 'mean error after 20 prints, as share of that of plain halving',
      case: 'expected information over halving',
      expected: 0.6,
      got: information[19] / halving[19],
      allowed: 0,
      relation: 'at most',
      unit: '',
    })
  })
})

describe('measured answers', () => {
  test('two points: the closed form of a Gaussian process', () => {
    const model = fitResponse(
      [
        { at: [0], value: Math.exp(0.3) },
        { at: [1], value: Math.exp(-0.3) },
      ],
      { ranges: [[0, 1]], scatterShare: 0.1 },
    )
    const { lengths, signal } = model
    const k = (d: number): number => {
      const r = (Math.sqrt(5) * Math.abs(d)) / lengths[0]
      return signal ** 2 * (1 + r + (r * r) / 3) * Math.exp(-r)
    }
    const a = k(0) + Math.log1p(0.01)
    const b = k(1)
    const [u, w] = [k(0.25), k(0.75)]
    // Inverse of a two by two matrix by hand.
    const det = a * a - b * b
    const mean = (u * (a * 0.3 + b * 0.3) + w * (-b * 0.3 - a * 0.3)) / det
    checkOutside({
      room,
      model: 'answer between two measurements',
      source: 'Rasmussen & Williams, Gaussian Processes for Machine Learning (2006), eq. 2.25, two points by hand',
      case: 'a quarter of the way',
      expected: Math.exp(mean),
      got: responseAt(model, [0.25]).value,
      allowed: 1e-9,
      unit: '',
    })
  })

  test('the toughest of 600 printed lattices', () => {
    const path = '../shared/data/crossed-barrel-toughness.csv'
    const source = 'Gongora et al., Science Advances 6(15):eaaz1708 (2020), 600 designs, 3 repeats each'
    const of = { room, model: 'tests until a tough design is found', source, unit: 'tests' }
    if (!existsSync(path)) {
      notRunHere({ ...of, case: 'toughest tenth' }, 'the data set is not here')
      return
    }
    const designs = readBarrels(readFileSync(path, 'utf8'))
    expect(designs).toHaveLength(600)
    const mean = (wanted: number, runs: number): number => {
      let sum = 0
      for (let seed = 0; seed < runs; seed++) sum += testsNeeded(designs, wanted, 500 + seed, 200)
      return sum / runs
    }
    checkOutside({
      ...of,
      case: `toughest tenth, mean of 120 searches; random choice needs ${randomTests(600, 60).toFixed(1)}`,
      expected: 0.8 * randomTests(600, 60),
      got: mean(60, 120),
      allowed: 0,
      relation: 'at most',
    })
    checkOutside({
      ...of,
      case: `toughest hundredth, mean of 30 searches; random choice needs ${randomTests(600, 6).toFixed(1)}`,
      expected: 0.4 * randomTests(600, 6),
      got: mean(6, 30),
      allowed: 0,
      relation: 'at most',
    })
  })
})

test('causes against direct sums over every set of causes', () => {
  // Written anew, without tables: all 2^19 sets.
  const causes = Object.keys(CAUSES) as Cause[]
  const seen = ['strings', 'blobs'] as const
  const chances = new Float64Array(causes.length)
  let all = 0
  for (let set = 0; set < 1 << causes.length; set++) {
    let weight = 1
    const misses = seen.map((name) => 1 - SYMPTOMS[name].base)
    for (let i = 0; i < causes.length; i++) {
      const { prior } = CAUSES[causes[i]]
      if ((set >> i) & 1) {
        weight *= prior
        seen.forEach((name, k) => {
          misses[k] *= 1 - ((SYMPTOMS[name].from as Partial<Record<Cause, number>>)[causes[i]] ?? 0)
        })
      } else weight *= 1 - prior
    }
    for (const miss of misses) weight *= 1 - miss
    all += weight
    for (let i = 0; i < causes.length; i++) if ((set >> i) & 1) chances[i] += weight
  }
  const found = diagnose({ seen: [...seen], notSeen: [], answers: {}, evidence: [] })
  if (!found.ok) throw new Error(found.issues[0].message)
  for (const { cause, chance } of found.value.causes.slice(0, 4))
    checkOutside({
      room,
      model: 'chance of a cause, sets of up to three',
      source:
        'noisy or, Pearl, Probabilistic Reasoning in Intelligent Systems (1988); all sets summed by the test itself',
      case: `strings and blobs: ${CAUSES[cause].label}`,
      expected: chances[causes.indexOf(cause)] / all,
      got: chance,
      allowed: 0.03,
      unit: '',
    })
})

describe('coupons read back', () => {
  const cards = { recipe: STARTING_RECIPE, printer: STARTING_PRINTER, filament: STARTING_FILAMENT }
  let kit: PolygonKit
  beforeAll(async () => {
    kit = await loadPolygonKit()
  })
  test.each(COUPON_QUESTIONS)('%s: volume, bounds, temperatures and times', async (question) => {
    const setting = Object.keys(QUESTIONS[question].settings).at(-1) as LadderSetting
    const coupon = await makeCoupon(
      { question, setting, levels: levelsOf(LADDERS[setting], cards).slice(-2), run: 1 },
      cards,
      kit,
    )
    if (!coupon.ok) throw new Error(coupon.issues[0].message)
    const written = await writeCoupon(coupon.value)
    if (!written.ok) throw new Error(written.issues[0].message)
    const { text, dryRun } = written.value
    // Read a second time by a few lines of the test's own, which know nothing but words and numbers.
    let [pushed, drawn, far, high] = [0, 0, 0, 0]
    const waits: number[] = []
    for (const line of text.split('\n')) {
      const word = (letter: string): number =>
        Number(new RegExp(`(?<![A-Z(])${letter}(-?[\\d.]+)`).exec(line)?.[1] ?? Number.NaN)
      if (/^G[01] /.test(line)) {
        const e = word('E')
        if (e > 0) pushed += e
        if (e < 0) drawn -= e
        for (const axis of ['X', 'Y']) if (word(axis) > far) far = word(axis)
        if (word('Z') > high) high = word('Z')
      }
      if (line.startsWith('M109')) waits.push(Number(/[SR]([\d.]+)/.exec(line)?.[1]))
    }
    const source = 'words of the code summed by the test itself'
    const of = { room, model: `coupon "${question}" along ${LADDERS[setting].label}`, source }
    // The last retraction is not made up for.
    const volume = (pushed - drawn + 2) * filamentArea(1.75)
    checkOutside({
      ...of,
      case: 'plastic',
      expected: coupon.value.volumeMm3,
      got: volume,
      allowed: 0.002,
      relative: true,
      unit: 'mm3',
    })
    checkOutside({
      ...of,
      case: 'farthest x or y',
      expected: 220,
      got: far,
      allowed: 0,
      relation: 'at most',
      unit: 'mm',
    })
    checkOutside({ ...of, case: 'highest z', expected: 250, got: high, allowed: 0, relation: 'at most', unit: 'mm' })
    checkOutside({ ...of, case: 'hottest wait', expected: 205, got: Math.max(...waits), allowed: 0, unit: 'deg C' })
    const time = dryRun.checks.find(({ what }) => what === 'time')
    checkOutside({
      ...of,
      source: "the project's own reader and timing, run dry",
      case: 'time',
      expected: time?.planned ?? Number.NaN,
      got: time?.read ?? Number.NaN,
      allowed: 0.01,
      relative: true,
      unit: 's',
    })
    expect(dryRun.fine).toBe(true)
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
