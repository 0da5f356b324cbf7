import { beforeAll, describe, expect, test } from 'vitest'
import type { PolygonKit } from '../../engine/kernel/index.ts'
import { edgeNeighbours, massOf } from '../../engine/mesh/index.ts'
import { loadPolygonKit } from '../../pool/node.ts'
import { STARTING_FILAMENT, STARTING_PRINTER, STARTING_RECIPE } from '../../recipe/index.ts'
import { LADDERS, levelsOf } from '../ladders.ts'
import { QUESTIONS } from '../questions.ts'
import { COUPON_QUESTIONS, type CouponQuestion, type LadderSetting } from '../types.ts'
import { dryRun } from './dry-run.ts'
import { type Coupon, type CouponWish, makeCoupon } from './make-coupon.ts'
import { writeCoupon } from './write-coupon.ts'

/** Coarse layers, so that the tests are quick; the starting recipe is run through by the checks outside. */
const cards = {
  recipe: { ...STARTING_RECIPE, layerHeightMm: 0.2 },
  printer: STARTING_PRINTER,
  filament: STARTING_FILAMENT,
}
let kit: PolygonKit
beforeAll(async () => {
  kit = await loadPolygonKit()
})
const made = async (wish: Partial<CouponWish> & Pick<CouponWish, 'levels'>): Promise<Coupon> => {
  const coupon = await makeCoupon({ question: 'pins', setting: 'nozzleC', run: 1, ...wish }, cards, kit)
  if (!coupon.ok) throw new Error(coupon.issues[0].message)
  return coupon.value
}
const textOf = async (coupon: Coupon): Promise<string> => {
  const written = await writeCoupon(coupon)
  if (!written.ok) throw new Error(written.issues.map(({ message }) => message).join('\n'))
  return written.value.text
}
const CASES = COUPON_QUESTIONS.flatMap((question) =>
  (Object.keys(QUESTIONS[question].settings) as LadderSetting[]).map((setting): [CouponQuestion, LadderSetting] => [
    question,
    setting,
  ]),
)

describe.each(CASES)('%s along %s', (question, setting) => {
  test('is laid, written, read back and agrees', async () => {
    const levels = levelsOf(LADDERS[setting], cards).slice(-2)
    const coupon = await made({ question, setting, levels })
    const written = await writeCoupon(coupon)
    expect(written.ok ? written.value.dryRun.checks.filter(({ fine }) => !fine) : written.issues).toEqual([])
    expect(coupon.rows.map(({ level }) => level)).toEqual(levels)
  })
})

test.each(COUPON_QUESTIONS)('%s: closed solids whose plastic is about what the beads lay', async (question) => {
  const setting = Object.keys(QUESTIONS[question].settings)[0] as LadderSetting
  const levels = levelsOf(LADDERS[setting], cards).slice(-1)
  const coupon = await made({ question, setting, levels })
  expect(edgeNeighbours(coupon.solid).every((other) => other >= 0)).toBe(true)
  const { volume } = massOf(coupon.solid)
  expect(massOf(coupon.rowSolid).volume).toBeCloseTo(volume, 6)
  expect(coupon.volumeMm3).toBeGreaterThan(question === 'box' ? 0.08 * volume : 0.5 * volume)
  expect(coupon.volumeMm3).toBeLessThan(question === 'box' ? 0.2 * volume : 1.5 * volume)
})

test('only the setting under test differs between rows, and its order is kept', async () => {
  const there = await made({ levels: [190, 195, 200] })
  const back = await made({ levels: [200, 195, 190], run: 2 })
  for (const { recipe } of there.rows)
    expect({ ...recipe, nozzleC: 0 }).toEqual({ ...there.rows[0].recipe, nozzleC: 0 })
  expect(back.rows.map(({ level, y }) => [level, y])).toEqual(there.rows.map(({ y }, i) => [[200, 195, 190][i], y]))
  const text = await textOf(back)
  expect(text).toContain('(under test: nozzle, run 2, rows laid one after the other)')
  expect(text.indexOf('(row 1: nozzle 200 deg C)')).toBeGreaterThan(0)
})

test('heat is waited for beside the row, cooling too, and never over finished posts', async () => {
  const coupon = await made({ levels: [195, 190] })
  const lines = (await textOf(coupon)).split('\n')
  expect(lines.filter((line) => line.startsWith('M109'))).toEqual(['M109 S205', 'M109 R195', 'M109 S205', 'M109 R190'])
  const wait = lines.indexOf('M109 R190')
  const x = lines.slice(0, wait).findLast((line) => /^G0 X/.test(line))
  const left = coupon.rows[1].x + Math.min(...coupon.rowSolid.positions.filter((_, i) => i % 3 === 0))
  expect(Number(/X([\d.]+)/.exec(x ?? '')?.[1])).toBeLessThan(left - 3)
  expect(lines[wait + 1]).toBe('G4 S5')
})

test('rows keep clear of the head and lie on the bed', async () => {
  const coupon = await made({ levels: [185, 190, 195, 200, 205] })
  const { printer } = cards
  for (const a of coupon.rows)
    for (const b of coupon.rows) {
      if (a.row >= b.row) continue
      expect(Math.abs(a.y - b.y) > printer.headRadiusMm + 5 || Math.abs(a.x - b.x) > printer.headRadiusMm + 60).toBe(
        true,
      )
    }
})

test('what does not read back as planned is not offered', async () => {
  const coupon = await made({ levels: [190, 195] })
  const text = await textOf(coupon)
  const wrongOf = async (changed: string): Promise<readonly string[]> => {
    expect(changed).not.toBe(text)
    return (await dryRun(changed, coupon)).checks.filter(({ fine }) => !fine).map(({ what }) => what)
  }
  expect(await wrongOf(text.replace('M104 S0', 'M104 S195'))).toEqual(['nozzle left on at the end'])
  expect(await wrongOf(text.replace(/M109 R190/, 'M109 S260'))).toContain('hottest nozzle')
  expect(await wrongOf(text.replace('G0 X5 Y215', 'G0 X5 Y315'))).toContain('most y')
  expect(await wrongOf(text.replace(/G0 X5 Y215/, 'G0 X-5 Y215'))).toContain('least x')
  expect(await wrongOf(text.replace('\nM107', '\nM999'))).toContain('words or lines that are not understood')
  expect(await wrongOf(text.replace(/ E0\.0\d+/, ' E0.5'))).toContain('greatest difference of a layer, volume')
  expect(await wrongOf(text.replace('(row 2', 'G0 Z-1\n(row 2'))).toContain('least height of the nozzle')
  expect(await wrongOf(text.replace('G4 S5', 'G4 S500'))).toContain('time')
  expect(await wrongOf('hello')).toHaveLength(1)
})

test('ladders with a step too long, levels too hot, beds too small and gantries too low are refused', async () => {
  const codeOf = async (wish: Partial<CouponWish>, printer = {}): Promise<string> => {
    const whole = { question: 'pins', setting: 'nozzleC', levels: [190, 195], run: 1, ...wish } as CouponWish
    const coupon = await makeCoupon(whole, { ...cards, printer: { ...cards.printer, ...printer } }, kit)
    return coupon.ok ? 'made' : coupon.issues[0].code
  }
  expect(await codeOf({ levels: [185, 195] })).toBe('trials/levels')
  expect(await codeOf({ levels: [205, 210] })).toBe('trials/levels')
  expect(await codeOf({ levels: [] })).toBe('trials/levels')
  expect(await codeOf({ setting: 'leastLayerTimeS' })).toBe('trials/no-such-ladder')
  expect(await codeOf({}, { bedYMm: 50, bedXMm: 90 })).toBe('trials/does-not-fit')
  expect(await codeOf({}, { gantryHeightMm: 5 })).toBe('made')
  expect(await codeOf({ question: 'posts' }, { gantryHeightMm: 5 })).toBe('trials/too-tall')
})
