import { beforeAll, expect, test } from 'vitest'
import { box, cylinder, moved, together } from '../../../tests/solids.ts'
import { loadPolygonKit } from '../../pool/polygon-kit-node.ts'
import { Cancelled, type PolygonKit } from '../kernel/index.ts'
import { prepareMesh, writeStl } from '../mesh/index.ts'
import { createExaminer } from './create-examiner.ts'
import { EXAMINE_DEFAULTS } from './settings.ts'
import type { ExamineSettings, PartialExamination } from './types.ts'

let kit: PolygonKit
let file: Uint8Array
beforeAll(async () => {
  kit = await loadPolygonKit()
  const solid = together(
    cylinder(12.5, 3, 64),
    moved(cylinder(0.6, 22, 48), 4, 0, 2.5),
    moved(box(6, 4, 24), -3, -2, 2.5),
  )
  file = writeStl(prepareMesh(solid.positions, solid.triangles).mesh)
})
const settings: ExamineSettings = { ...EXAMINE_DEFAULTS, scale: { by: 'unit', unit: 'mm' } }

test('from bytes to findings, with partial results in order and progress that only rises', async () => {
  const partials: PartialExamination[] = []
  const shares: number[] = []
  const outcome = await createExaminer(kit).examine(file, 'post.stl', settings, {
    onPartial: (p) => partials.push(p),
    onProgress: (share) => shares.push(share),
  })
  if (!outcome.ok) throw new Error(outcome.issues[0].message)
  const { summary, findings, tracks, layers } = outcome.value
  expect(summary.totalHeightMm).toBeCloseTo(26.5, 4)
  expect(summary.nLayers).toBe(layers.nLayers)
  expect(findings.some((f) => f.rule === 'thin-limb')).toBe(true)
  expect(summary.verdict).toMatch(/^Not ready: /)
  for (const track of tracks) expect(track.values.length).toBe(layers.nLayers)
  expect(partials[0].figure).toBeDefined()
  expect(partials[1].layers).toBeDefined()
  expect(partials.some((p) => p.surfaceThickness)).toBe(true)
  for (let i = 1; i < shares.length; i++) expect(shares[i]).toBeGreaterThanOrEqual(shares[i - 1] - 1e-9)
  expect(shares[shares.length - 1]).toBe(1)
  // Every remedy has been tried in the end.
  for (const f of findings) for (const r of f.remedies) expect(r.effect).not.toBeNull()
})

test('a change of layer height does not read the mesh again; a change of bead does not cut again', async () => {
  const { examine, kept } = createExaminer(kit)
  await examine(file, 'post.stl', settings, { quick: true })
  await examine(file, 'post.stl', { ...settings, layerHeightMm: 0.2 }, { quick: true })
  expect(kept.misses.get('mesh')).toBe(1)
  expect(kept.misses.get('figure')).toBe(1)
  expect(kept.misses.get('sections')).toBe(2)
  await examine(file, 'post.stl', { ...settings, layerHeightMm: 0.2, beadWidthMm: 0.3 }, { quick: true })
  expect(kept.misses.get('sections')).toBe(2)
  expect(kept.misses.get('thickness')).toBe(2)
  expect(kept.misses.get('relations')).toBe(3)
  // A step back finds everything again.
  const before = [...kept.misses.values()].reduce((a, b) => a + b, 0)
  await examine(file, 'post.stl', settings, { quick: true })
  expect([...kept.misses.values()].reduce((a, b) => a + b, 0)).toBe(before)
})

test('the same file and settings give the same answer', async () => {
  const once = await createExaminer(kit).examine(file, 'post.stl', settings)
  const twice = await createExaminer(kit).examine(file.slice(), 'post.stl', settings)
  if (!once.ok || !twice.ok) throw new Error('expected two examinations')
  expect(JSON.stringify(twice.value.findings)).toBe(JSON.stringify(once.value.findings))
  expect(twice.value.layers.points).toEqual(once.value.layers.points)
})

test('settings out of range and unreadable bytes are told, not thrown', async () => {
  const { examine } = createExaminer(kit)
  const bad = await examine(file, 'post.stl', { ...settings, layerHeightMm: 5, beadWidthMm: 0 })
  expect(bad.ok).toBe(false)
  if (!bad.ok) {
    expect(bad.issues.map((i) => i.place?.key)).toEqual(['layerHeightMm', 'beadWidthMm'])
    expect(bad.issues[0].message).toContain('0.02 to 1 mm')
  }
  const rubbish = await examine(new Uint8Array([1, 2, 3]), 'rubbish.stl', settings)
  expect(rubbish.ok).toBe(false)
})

test('a cut that would not fit into memory is refused before it is begun', async () => {
  const outcome = await createExaminer(kit).examine(file, 'post.stl', {
    ...settings,
    scale: { by: 'total-height', totalMm: 499 },
    layerHeightMm: 0.02,
  })
  expect(outcome.ok).toBe(false)
  if (!outcome.ok) {
    expect(outcome.issues[0].code).toBe('examine/too-large')
    expect(outcome.issues[0].message).toContain('24950 layers')
  }
})

test('a stop is heard in the middle of the work', async () => {
  const stop = new AbortController()
  const work = createExaminer(kit).examine(file, 'post.stl', settings, {
    signal: stop.signal,
    onProgress: (share) => {
      if (share > 0.3) stop.abort()
    },
  })
  await expect(work).rejects.toBeInstanceOf(Cancelled)
})

test('after a stop the same examiner still answers', async () => {
  const examiner = createExaminer(kit)
  const stop = new AbortController()
  await examiner
    .examine(file, 'post.stl', settings, { signal: stop.signal, onProgress: (s) => s > 0.2 && stop.abort() })
    .catch(() => undefined)
  const outcome = await examiner.examine(file, 'post.stl', settings, { quick: true })
  expect(outcome.ok).toBe(true)
})
