// Trials against simulated printers, crushed lattices, every set of causes summed up, and coupons read back.

import { existsSync, readFileSync } from 'node:fs'
import { beforeAll, describe, expect, test } from 'vitest'
import { filamentArea } from '../../src/engine/beads/index.ts'
import type { PolygonKit } from '../../src/engine/kernel/index.ts'
import { loadPolygonKit } from '../../src/pool/node.ts'
import { STARTING_FILAMENT, STARTING_PRINTER, STARTING_RECIPE } from '../../src/recipe/index.ts'
import {
  CAUSES,
  type Cause,
  COUPON_QUESTIONS,
  diagnose,
  fitResponse,
  LADDERS,
  type LadderSetting,
  levelsOf,
  makeCoupon,
  QUESTIONS,
  responseAt,
  SYMPTOMS,
  writeCoupon,
} from '../../src/trials/index.ts'
import { randomTests, readBarrels, testsNeeded } from '../barrel-designs.ts'
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
