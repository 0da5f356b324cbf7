// The print file written by hand is read back to the beads it means: counted and measured here from the drawing, not from the reader.
import { readFileSync } from 'node:fs'
import { expect, test } from 'vitest'
import { BEAD_ROLES, type BeadPlan } from '../src/engine/beads/index.ts'
import { inferBeads, readCode } from '../src/engine/motioncode/index.ts'

const bytes = new Uint8Array(readFileSync('demo/mooring-post.gcode'))

const beadsOf = async () => {
  const read = readCode(bytes)
  if (!read.ok) throw new Error(read.issues[0].message)
  const beads = await inferBeads(read.value, { filamentDiameterMm: 1.75 })
  if (!beads.ok) throw new Error(beads.issues[0].message)
  return { reading: read.value, beads: beads.value }
}
/** Half the extent in x and y of a bead, from the middle of the post. */
const reach = ({ points, beadStart }: BeadPlan, b: number): number => {
  let most = 0
  for (let i = beadStart[b]; i < beadStart[b + 1]; i++)
    most = Math.max(most, Math.abs(points[3 * i] - 50), Math.abs(points[3 * i + 1] - 50))
  return most
}

test('six layers of 0.2 mm; beads of 0.45 mm with the roles they have on the drawing', async () => {
  const { plan } = (await beadsOf()).beads
  expect(Array.from(plan.layerTopZ, (z) => z.toFixed(3))).toEqual([
    '0.200',
    '0.400',
    '0.600',
    '0.800',
    '1.000',
    '1.200',
  ])
  const layers = Array.from({ length: plan.nLayers }, (_, layer) =>
    Array.from({ length: plan.layerStart[layer + 1] - plan.layerStart[layer] }, (_, i) => {
      const b = plan.layerStart[layer] + i
      return `${BEAD_ROLES[plan.role[b]]} ${reach(plan, b).toFixed(3)}`
    }),
  )
  const foot = [
    'inner shell 3.368',
    'outer shell 3.775',
    ...['2.900', '2.900', '2.900', '2.900'].map((r) => `infill ${r}`),
  ]
  const post = ['inner shell 1.368', 'outer shell 1.775']
  expect(layers).toEqual([
    ['priming loop 8.000', ...foot],
    foot,
    post,
    post,
    post,
    ['point deposit 0.000', 'inner shell 0.961', ...post],
  ])
  for (let b = 0; b < plan.nBeads; b++) {
    if (BEAD_ROLES[plan.role[b]] === 'point deposit') {
      // 0.03 mm of filament of 1.75 mm.
      expect(plan.volume[b]).toBeCloseTo(0.03 * Math.PI * 0.875 ** 2, 5)
    } else expect(plan.width[b]).toBeCloseTo(0.45, 2)
  }
})

test('what it sets and what is strange in it comes out, and its comment is not believed', async () => {
  const { reading, beads } = await beadsOf()
  expect(reading.unknown.map(({ word, lines }) => [word, ...lines])).toEqual([['M777', 13]])
  expect(reading.notFollowed.map(({ word }) => word)).toEqual(['M201'])
  expect(reading.nMalformed).toBe(0)
  expect(reading.decisions.join(' ')).toContain('milliseconds, because the longest is 500')
  expect([beads.acceleration?.[0], beads.cornerSpeed?.[0]]).toEqual([300, 5])
  expect(beads.plan.retraction.filter((r) => r > 0)).toEqual(Float32Array.of(5))
})
