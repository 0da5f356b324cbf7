// Each rule speaks of a body that has the fault, and is silent on one that nearly has it.

import { expect, test } from 'vitest'
import { moved } from '../../../../tests/solids.ts'
import { type Bodied, onBase, PLAIN, rod, shaftOnBase } from '../../../../tests/strength-bodies.ts'
import { STARTING_FILAMENT, STARTING_RECIPE } from '../../../recipe/index.ts'
import { type QuickStrength, quickStrength } from '../../strength/index.ts'
import type { PrintResults, RoomResults } from '../results.ts'
import { bendsWhilePrinted, buckles, heavierForNothing, tipsOver, weakAcross } from './stands-and-bends.ts'

const seen = ({ figure, stack, relations }: Bodied, strength: QuickStrength, print: unknown = null): RoomResults =>
  ({
    settings: { beadWidthMm: 0.4, thickenMm: 0, stanceDeg: [0, 0, 0] },
    figure,
    layers: stack,
    relations,
    strength,
    print,
  }) as unknown as RoomResults

const look = async (body: Bodied): Promise<RoomResults> =>
  seen(body, await quickStrength(body.figure, body.stack, body.relations, PLAIN))

/** A shaft on the base: length 30 mm, thin or stout. */
const shafts = Promise.all([1, 2.5].map(async (d) => look(await shaftOnBase(d, 30, 0.25))))

test('a thin tall shaft bends while printed, with a growth that stops it; a stout one does not', async () => {
  const [thin, stout] = await shafts
  const [finding] = bendsWhilePrinted.look(thin)
  // 0.016 N at the tip of a shaft of 30 mm: F L3/3EI, across layers.
  const bend = (0.016 * 30 ** 3) / (3 * 2400 * (Math.PI / 64))
  expect(finding.evidence[0].value / bend).toBeGreaterThan(0.8)
  expect(finding.evidence[0].value / bend).toBeLessThan(1.3)
  expect(finding.place.fromMm).toBeGreaterThan(10)
  const { effect, change } = finding.remedies[0]
  expect(effect?.resolves).toBe(true)
  expect(effect?.after).toBeLessThanOrEqual(0.2)
  expect(change.what).toBe('thickenMm')
  expect(bendsWhilePrinted.look(stout)).toEqual([])
})

test('a thin shaft buckles under less than a newton, at the force of Euler', async () => {
  const [thin, stout] = await shafts
  const [finding] = buckles.look(thin)
  const euler = (Math.PI ** 2 * 2400 * (Math.PI / 64)) / (2 * 30) ** 2
  expect(finding.evidence[0].value / euler).toBeGreaterThan(0.8)
  expect(finding.evidence[0].value / euler).toBeLessThan(1.3)
  expect(finding.remedies[0].effect?.after).toBeGreaterThan(finding.evidence[0].value)
  expect(buckles.look(stout)).toEqual([])
})

test('an upright thin limb is weak across its layers, one laid flat is not', async () => {
  const [thin] = await shafts
  const [finding] = weakAcross.look(thin)
  expect(finding.evidence[1].value).toBeGreaterThan(1.3 * finding.evidence[0].value)
  const flat = await look(
    await onBase([moved(rod([0, 0, 0], [0, 0, 6], 4), 0, 0, 2.5), moved(rod([0, 0, 0], [20, 0, 0], 1), 0, 0, 7)], 0.25),
  )
  expect(flat.strength?.weakPlaces.length).toBeGreaterThan(0)
  expect(weakAcross.look(flat)).toEqual([])
})

test('tips over when the middle of the mass stands near the rim, with what would hold it', async () => {
  const steady = (await shafts)[1]
  expect(tipsOver.look(steady)).toEqual([])
  // A heavy block high on a leaning neck near the rim of the base.
  const top = await look(
    await onBase(
      [moved(rod([0, 0, 0], [0, 0, 30], 5), 10, 0, 2.5), moved(rod([0, 0, 0], [0, 0, 14], 16), 12, 0, 32)],
      0.5,
    ),
  )
  const [finding] = tipsOver.look(top)
  expect(finding.evidence[0].value).toBeLessThan(17)
  const wider = finding.evidence.find(({ label }) => label.startsWith('base wider'))?.value ?? 0
  const standing = top.strength?.standing
  const arm = (standing?.centre[2] ?? 0) * Math.tan(((standing?.tipDegrees ?? 0) * Math.PI) / 180)
  expect((Math.atan2(arm + wider, standing?.centre[2] ?? 1) * 180) / Math.PI).toBeCloseTo(17, 6)
})

test('infill that no weak place has is heavier for nothing; where it carries, it is not', async () => {
  const body = await shaftOnBase(1.2, 15, 0.25)
  const nLayers = body.stack.nLayers
  const layerInfillArea = Float64Array.from({ length: nLayers }, (_, k) => (body.stack.cutZ[k] < 3 ? 400 : 0))
  const printWith = (infillShare: number): PrintResults =>
    ({
      recipe: { ...STARTING_RECIPE, infillShare },
      filament: STARTING_FILAMENT,
      report: { layerInfillArea, massG: 2 },
    }) as unknown as PrintResults
  const stuffing = { nShells: 3, beadWidthMm: 0.4, layerHeightMm: 0.25, capThicknessMm: 0.5, infillShare: 0.8 }
  const strength = await quickStrength(body.figure, body.stack, body.relations, PLAIN, { stuffing })
  const [finding] = heavierForNothing.look(seen(body, strength, printWith(0.8)))
  // 400 mm2 over 3 mm at 0.65 of the density.
  expect(finding.evidence[1].value).toBeCloseTo((1200 * 0.65 * STARTING_FILAMENT.densityGPerCm3) / 1000, 1)
  expect(finding.remedies[0].change).toMatchObject({ what: 'infillShare', to: 0.15 })
  expect(heavierForNothing.look(seen(body, strength, printWith(0.15)))).toEqual([])
  const thick = await shaftOnBase(6, 15, 0.25)
  const carried = await quickStrength(thick.figure, thick.stack, thick.relations, PLAIN, {
    stuffing: { ...stuffing, nShells: 1 },
  })
  expect(heavierForNothing.look(seen(thick, carried, printWith(0.8)))).toEqual([])
})
