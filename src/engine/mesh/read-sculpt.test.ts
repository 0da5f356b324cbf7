import { expect, test } from 'vitest'
import { bytesOf, everyFormat } from '../../../tests/mesh-files.ts'
import { box, torus } from '../../../tests/solids.ts'
import { Cancelled } from '../kernel/index.ts'
import { massOf } from './mass-of.ts'
import { readSculpt } from './read-sculpt.ts'

const solid = torus(10, 2, 24, 12)

test.each(Object.entries(everyFormat(solid)))('%s gives the same solid', async (kind, bytes) => {
  const before = bytes.slice()
  const read = await readSculpt(bytes, { name: '/home/ann/ring.v2.stl' })
  if (!read.ok) throw new Error(read.issues[0].message)
  const { mesh, health, name, format, statedUnit, hash } = read.value
  expect(kind.startsWith(format)).toBe(true)
  expect(name).toBe('ring.v2')
  expect(hash).toMatch(/^[0-9a-f]{32}$/)
  expect(statedUnit).toBe({ '3mf': 'mm', gltf: 'm', glb: 'm' }[format as string] ?? null)
  expect(health).toMatchObject({ nVertices: 24 * 12, nTriangles: 2 * 24 * 12, closed: true, nInsideOutShells: 0 })
  const exact = massOf(solid)
  const mass = massOf(mesh)
  expect(mass.volume).toBeCloseTo(exact.volume, 3)
  // glTF has y up: its solid is turned.
  const axis = format === 'gltf' || format === 'glb' ? 1 : 2
  expect(mass.inertia[axis]).toBeCloseTo(exact.inertia[2], 0)
  expect(bytes).toEqual(before)
})

test('the hash names the content, not the name', async () => {
  const [a, b] = [everyFormat(solid).obj, everyFormat(solid).obj.slice()]
  const hashOf = async (bytes: Uint8Array, name: string) => {
    const read = await readSculpt(bytes, { name })
    return read.ok ? read.value.hash : ''
  }
  expect(await hashOf(a, 'a')).toBe(await hashOf(b, 'b'))
  b[2] = 57
  expect(await hashOf(a, 'a')).not.toBe(await hashOf(b, 'a'))
})

test.each([
  ['nothing', new Uint8Array(0), 'mesh/empty-file'],
  ['a picture', Uint8Array.from([0x89, 0x50, 0x4e, 0x47, 13, 10, 26, 10, 0, 0, 0]), 'mesh/unknown-format'],
  ['prose', bytesOf('Dear Sir,\nthe ferry leaves at nine.\n'), 'mesh/unknown-format'],
  ['only flat triangles', bytesOf('v 0 0 0\nv 1 0 0\nv 2 0 0\nf 1 2 3\n'), 'mesh/no-faces'],
])('%s is refused with one sentence', async (_what, bytes, code) => {
  const read = await readSculpt(bytes, { name: 'x' })
  expect(read.ok ? [] : read.issues.map((issue) => issue.code)).toEqual([code])
  if (!read.ok) expect(read.issues[0].message).toMatch(/^[^\n]+\.$/)
})

test('limits are kept in every format', async () => {
  for (const bytes of Object.values(everyFormat(solid))) {
    const read = await readSculpt(bytes, { name: 'x', limits: { maxTriangles: 100 } })
    expect(read.ok ? '' : read.issues[0].code).toBe('mesh/too-many-triangles')
  }
  const read = await readSculpt(everyFormat(solid).glb, { name: 'x', limits: { maxBytes: 100 } })
  expect(read.ok ? '' : read.issues[0].code).toBe('mesh/too-large')
})

test('a stopped task stops the reading', async () => {
  const stop = new AbortController()
  stop.abort()
  for (const bytes of Object.values(everyFormat(box(1, 1, 1)))) {
    await expect(readSculpt(bytes, { name: 'x' }, { signal: stop.signal })).rejects.toThrow(Cancelled)
  }
})

test('progress rises from 0 to 1', async () => {
  const shares: number[] = []
  await readSculpt(everyFormat(solid)['3mf'], { name: 'x' }, { onProgress: (share) => shares.push(share) })
  expect(shares.at(-1)).toBe(1)
  expect([...shares].sort((a, b) => a - b)).toEqual(shares)
})
