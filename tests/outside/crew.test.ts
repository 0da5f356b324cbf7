// The demo crew, measured by their modelling, must bring the findings that were modelled into them; a public scan brings its holes.

import { beforeAll, describe, expect, test } from 'vitest'
import { BOAT_HOOK, HOLE, LANTERN, PASSENGER_SHELLS, RIBBON } from '../../demo/facts.ts'
import { createExaminer, EXAMINE_DEFAULTS, type Examination } from '../../src/engine/examine/index.ts'
import type { Finding } from '../../src/engine/findings/index.ts'
import type { PolygonKit } from '../../src/engine/kernel/index.ts'
import { loadPolygonKit } from '../../src/pool/polygon-kit-node.ts'
import { crewBytes, crewSettings, scanBytes } from '../crew-files.ts'
import { checkOutside } from '../validation.ts'

let kit: PolygonKit
beforeAll(async () => {
  kit = await loadPolygonKit()
})

const examined = async (id: 'keeper' | 'lamplighter' | 'passenger' | 'ferry-dog'): Promise<Examination> => {
  const outcome = await createExaminer(kit).examine(crewBytes(id), id, crewSettings(id), { quick: true })
  if (!outcome.ok) throw new Error(outcome.issues[0].message)
  return outcome.value
}
const at = (f: Finding, x: number, y: number, within: number): boolean =>
  Math.hypot(f.place.point[0] - x, f.place.point[1] - y) < within
const evidence = (f: Finding, label: string): number => f.evidence.find((e) => e.label === label)?.value ?? Number.NaN
const source = 'modelled measure of our own demo figure'

test('the keeper: the boat-hook is 1.2 mm thick and holds one shell and a core of 0.4 mm', async () => {
  const { findings, figure, layers } = await examined('keeper')
  expect(figure.max[2]).toBeCloseTo(BOAT_HOOK.top, 2)
  const shaft = findings.filter((f) => f.rule === 'thin-limb' && at(f, BOAT_HOOK.axis[0], BOAT_HOOK.axis[1], 0.5))
  expect(shaft.length).toBeGreaterThanOrEqual(2)
  expect(shaft[0].severity).toBe('breaks')
  expect(evidence(shaft[0], 'shells that fit')).toBe(1)
  for (const [name, expected, got, allowed] of [
    ['thickness of the bare shaft', BOAT_HOOK.diameter, evidence(shaft[0], 'thickness'), 0.02],
    ['core after one shell of 0.4 mm', 0.4, evidence(shaft[0], 'core left in the middle'), 0.02],
    ['lower end of the bare shaft', 3, shaft[0].place.fromMm, 0.35],
    ['upper end below the hand', BOAT_HOOK.bareTo[0], shaft[0].place.toMm, 1.6],
  ] as const) {
    checkOutside({
      room: 'findings',
      model: 'thin limb',
      case: `keeper: ${name}`,
      source,
      expected,
      got,
      allowed,
      unit: 'mm',
    })
  }
  expect(layers.nLayers).toBe(385)
})

test('the lamplighter: the lantern starts in mid air, the ribbon vanishes, the hole is found', async () => {
  const { findings, figure } = await examined('lamplighter')
  const lantern = findings.find((f) => f.rule === 'starts-in-air' && at(f, LANTERN.axis[0], LANTERN.axis[1], 1))
  expect(lantern?.severity).toBe('breaks')
  const ribbon = findings.find(
    (f) => f.rule === 'vanishes' && f.place.point[0] > RIBBON.freeFrom && f.place.toMm > RIBBON.bottom + 2,
  )
  expect(ribbon?.severity).toBe('breaks')
  const hole = findings.find((f) => f.rule === 'torn-mesh')
  expect(figure.health.nHoles).toBe(1)
  const near = hole ? Math.hypot(...HOLE.near.map((v, i) => v - hole.place.point[i])) : Infinity
  for (const [model, name, expected, got, allowed] of [
    ['starts in mid air', 'lowest point of the lantern', LANTERN.lowest, lantern?.place.fromMm, 0.15],
    ['vanishing detail', 'thickness of the ribbon', RIBBON.thickness, ribbon && evidence(ribbon, 'width'), 0.03],
    ['vanishing detail', 'lower edge of the ribbon', RIBBON.bottom, ribbon?.place.fromMm, 0.3],
    ['vanishing detail', 'upper edge of the ribbon', RIBBON.top, ribbon?.place.toMm, 0.3],
    ['torn mesh', 'distance of the hole from its place', 0, near, 1],
  ] as const) {
    checkOutside({
      room: 'findings',
      model,
      case: `lamplighter: ${name}`,
      source,
      expected,
      got: got ?? Number.NaN,
      allowed,
      unit: 'mm',
    })
  }
})

test('the passenger: overlapping shells give the outlines of their union', async () => {
  const { findings, figure, layers } = await examined('passenger')
  expect(layers.nResolvedLayers).toBeGreaterThan(200)
  expect(findings.some((f) => f.rule === 'overlapping-shells')).toBe(true)
  checkOutside({
    room: 'findings',
    model: 'shells of the mesh',
    case: 'passenger: closed shells that overlap',
    source,
    expected: PASSENGER_SHELLS,
    got: figure.health.nShells,
    allowed: 0,
  })
  // What the shells hold in common counts once: the union is smaller than the sum.
  let volume = 0
  for (let k = 0; k < layers.nLayers; k++) {
    for (let i = layers.islandStart[k]; i < layers.islandStart[k + 1]; i++) {
      volume += layers.islandArea[i] * (layers.faceZ[k + 1] - layers.faceZ[k])
    }
  }
  expect(volume).toBeLessThan(figure.mass.volume * 0.99)
  expect(volume).toBeGreaterThan(figure.mass.volume * 0.4)
})

test('the dog stands on its base and nothing of it vanishes whole', async () => {
  const { findings, figure } = await examined('ferry-dog')
  expect(figure.base?.topMm).toBeCloseTo(3, 1)
  expect(findings.filter((f) => f.rule === 'vanishes' && f.severity === 'breaks')).toEqual([])
})

describe('a public scan', () => {
  test('the scanned animal is torn where it met its stand, and nothing else breaks it', async () => {
    const bytes = scanBytes('bunny.bin.stl')
    const outcome = await createExaminer(kit).examine(
      bytes,
      'scan',
      { ...EXAMINE_DEFAULTS, scale: { by: 'total-height', totalMm: 40 } },
      { quick: true },
    )
    if (!outcome.ok) throw new Error(outcome.issues[0].message)
    const { findings, figure, layers } = outcome.value
    expect(findings.some((f) => f.rule === 'torn-mesh')).toBe(true)
    checkOutside({
      room: 'findings',
      model: 'torn mesh',
      case: 'scanned rabbit of 69 451 triangles (npm stl-models 0.12.0, MIT): holes',
      source: 'known of this scan, from memory',
      expected: 5,
      got: figure.health.nHoles,
      allowed: 0,
    })
    expect(findings.filter((f) => f.rule === 'vanishes' && f.severity === 'breaks')).toEqual([])
    expect(layers.nLayers).toBe(399)
  })
})
