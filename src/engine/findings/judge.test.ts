import { beforeAll, describe, expect, test } from 'vitest'
import { examinedSolid } from '../../../tests/figure-by-hand.ts'
import { box, cone, cylinder, moved, sphere, together } from '../../../tests/solids.ts'
import { PLAIN_LOOK } from '../../../tests/surface-looks.ts'
import { loadPolygonKit } from '../../pool/polygon-kit-node.ts'
import type { PolygonKit } from '../kernel/index.ts'
import type { PropPlace } from '../surface/index.ts'
import { RULES } from './judge.ts'
import { startsInAir } from './rules/starts-in-air.ts'
import { SEVERITIES } from './types.ts'

let kit: PolygonKit
beforeAll(async () => {
  kit = await loadPolygonKit()
})
const base = cylinder(12.5, 3, 96)

test('a plain block brings no finding', async () => {
  const { findings } = await examinedSolid(box(12, 10, 8), kit)
  expect(findings.map((f) => f.id)).toEqual([])
})

describe('a shaft of 1.2 mm on a base', () => {
  test('holds one shell of 0.4 mm and a core of 0.4 mm', async () => {
    const { results, findings } = await examinedSolid(together(base, moved(cylinder(0.6, 20, 64), 0, 0, 3)), kit)
    const limb = findings.filter((f) => f.rule === 'thin-limb')
    expect(limb.length).toBe(1)
    expect(limb[0].severity).toBe('breaks')
    expect(limb[0].title).toContain('holds one shell and a core of 0.4 mm')
    expect(Math.abs(limb[0].place.fromMm - 3)).toBeLessThan(0.11)
    expect(Math.abs(limb[0].place.toMm - 23)).toBeLessThan(0.11)
    const number = (label: string): number => limb[0].evidence.find((e) => e.label === label)?.value as number
    expect(number('shells that fit')).toBe(1)
    expect(Math.abs(number('thickness') - 1.2)).toBeLessThan(0.02)
    expect(Math.abs(number('core left in the middle') - 0.4)).toBeLessThan(0.02)
    expect(results.layers.nLayers).toBe(230)
  })
  test('thickening to what is proposed gives two shells; the effect says so', async () => {
    const { findings } = await examinedSolid(together(base, moved(cylinder(0.6, 20, 64), 0, 0, 3)), kit)
    const limb = findings.find((f) => f.rule === 'thin-limb')
    const thicker = limb?.remedies.find((r) => r.change.what === 'thickenMm')
    expect(thicker?.effect?.resolves).toBe(true)
    expect(thicker?.effect?.before).toBe(1)
    expect(thicker?.effect?.after).toBe(2)
    const finer = limb?.remedies.find((r) => r.change.what === 'beadWidthMm')
    expect(finer?.effect?.after).toBeGreaterThanOrEqual(2)
  })
})

test('a ribbon of 0.3 mm vanishes, and grows back with finer beads', async () => {
  const ribbon = moved(box(6, 0.3, 8), 2, 0, 3)
  const { findings } = await examinedSolid(together(base, ribbon, moved(cylinder(2.5, 8, 48), 0, 0, 3)), kit)
  const lost = findings.filter((f) => f.rule === 'vanishes')
  expect(lost.length).toBe(1)
  expect(lost[0].severity).toBe('breaks')
  expect(Math.abs((lost[0].evidence.find((e) => e.label === 'width')?.value as number) - 0.3)).toBeLessThan(0.02)
  expect(Math.abs(lost[0].place.toMm - 11)).toBeLessThan(0.2)
  const finer = lost[0].remedies.find((r) => r.change.what === 'beadWidthMm')
  expect(finer?.change.to).toBe(0.3)
  expect(finer?.effect?.resolves).toBe(true)
  expect(finer?.effect?.after).toBe(0)
})

test('sharp edges and a coat fold do not vanish; a cone does only at its tip', async () => {
  const fold = together(moved(box(8, 8, 6), -4, -4, 3), moved(cylinder(3, 6, 6), 4, 0, 3))
  const { findings } = await examinedSolid(together(base, fold), kit)
  expect(findings.filter((f) => f.rule === 'vanishes')).toEqual([])
  const { findings: onCone } = await examinedSolid(cone(5, 10, 96), kit)
  for (const f of onCone.filter((f) => f.rule === 'vanishes')) expect(f.place.fromMm).toBeGreaterThan(9.4)
})

test('a lantern beside a post starts in mid air; turning it on its head is tried and judged', async () => {
  const post = moved(cylinder(1.5, 15, 48), 0, 0, 3)
  const arm = moved(box(8, 2, 1), 0, -1, 17)
  const lantern = moved(box(2, 2, 5), 5.5, -1, 12)
  const { findings, results } = await examinedSolid(together(base, post, arm, lantern), kit)
  const starts = findings.filter((f) => f.rule === 'starts-in-air')
  expect(starts.length).toBe(1)
  expect(starts[0].place.fromMm).toBeCloseTo(12, 1)
  expect(starts[0].evidence.find((e) => e.label === 'air below it')?.value).toBeCloseTo(9, 1)
  expect(starts[0].evidence.find((e) => e.label === 'height before it joins the rest')?.value).toBeCloseTo(5, 0)
  expect(findings[0].rule).toBe('starts-in-air')
  expect(starts[0].remedies.length).toBe(2)
  for (const remedy of starts[0].remedies) {
    expect(remedy.effect).not.toBeNull()
    expect(remedy.effect?.before).toBeGreaterThan(3)
    expect(typeof remedy.effect?.resolves).toBe('boolean')
  }
  expect(starts[0].remedies.some((r) => r.effect?.resolves)).toBe(true)
  // Where the surface has been looked at, the prop counted under the lantern stands first; one elsewhere is none of its.
  const [x, y, z] = starts[0].place.point
  const under = { areaMm2: 4, nProps: 2, contactMm2: 1.2, heightMm: 9, volumeMm3: 20, onFigure: false } as const
  const prop = { why: 'starts in mid air', layer: starts[0].place.fromLayer, at: [x, y, z], ...under } as const
  const withPlaces = (places: readonly PropPlace[]) =>
    startsInAir.look({ ...results, surface: { ...PLAIN_LOOK, props: { ...PLAIN_LOOK.props, places } } })[0].remedies
  expect(withPlaces([prop])[0]).toMatchObject({ id: 'props', change: { to: 2 }, effect: { resolves: true, after: 0 } })
  expect(withPlaces([prop])[0].label).toContain('9.0 mm')
  expect(withPlaces([{ ...prop, at: [x - 8, y, z] }]).map(({ id }) => id)).not.toContain('props')
})

test('a shelf is an overhang, a lintel a span', async () => {
  const shelf = together(moved(box(4, 4, 10), -2, -2, 3), moved(box(4, 4, 1), 2, -2, 10))
  const { findings } = await examinedSolid(together(base, shelf), kit)
  const out = findings.find((f) => f.rule === 'overhang')
  expect(out?.evidence[0].value).toBeCloseTo(4, 1)
  const gate = together(moved(box(2, 3, 8), -5, -1, 3), moved(box(2, 3, 8), 4, -1, 3), moved(box(11, 3, 1), -5, -1, 11))
  const { findings: atGate } = await examinedSolid(together(base, gate), kit)
  const over = atGate.find((f) => f.rule === 'span')
  expect(over?.severity).toBe('marks')
  expect(Math.abs((over?.evidence[0].value as number) - 7)).toBeLessThan(0.3)
})

test('a ball on a pin stands badly', async () => {
  const { findings } = await examinedSolid(together(cylinder(1, 20, 48), moved(sphere(4, 48), 0, 0, 22)), kit)
  expect(findings.some((f) => f.rule === 'small-footing')).toBe(true)
})

test('every rule says what it looks for, ids are stable, and findings come worst first', async () => {
  expect(new Set(RULES.map((r) => r.id)).size).toBe(RULES.length)
  for (const rule of RULES) expect(rule.about).toMatch(/\.$/)
  const solid = together(base, moved(cylinder(0.6, 20, 64), 0, 0, 3), moved(sphere(1.5, 32), 6, 0, 12))
  const first = await examinedSolid(solid, kit)
  const second = await examinedSolid(solid, kit)
  expect(second.findings.map((f) => f.id)).toEqual(first.findings.map((f) => f.id))
  const order = first.findings.map((f) => SEVERITIES.indexOf(f.severity))
  expect([...order].sort((a, b) => a - b)).toEqual(order)
  for (const f of first.findings) {
    expect(f.certainty.share).toBeGreaterThan(0)
    expect(f.certainty.share).toBeLessThanOrEqual(1)
    expect(f.why.length).toBeGreaterThan(40)
  }
})
