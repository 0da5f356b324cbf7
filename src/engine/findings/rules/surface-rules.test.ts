import { beforeAll, describe, expect, test } from 'vitest'
import { examinedSolid } from '../../../../tests/figure-by-hand.ts'
import { box } from '../../../../tests/solids.ts'
import { PLAIN_LOOK } from '../../../../tests/surface-looks.ts'
import { loadPolygonKit } from '../../../pool/polygon-kit-node.ts'
import { type LayerChoice, RUN_COLUMNS, RUN_ROW, START_COLUMNS, type SurfaceLook } from '../../surface/index.ts'
import type { RoomResults } from '../results.ts'
import { curls, needsProps, sags, startsOnFace, stepsOnFace } from './surface.ts'

let plain: RoomResults
beforeAll(async () => {
  plain = (await examinedSolid(box(6, 6, 8), await loadPolygonKit())).results
})
const withLook = (change: Partial<SurfaceLook>): RoomResults => ({ ...plain, surface: { ...PLAIN_LOOK, ...change } })

const FACE = { fromMm: 4, toMm: 6, box: [0, 0, 6, 6], reason: 'The face lies here.' } as const
const choice = (layerHeightMm: number, shownShare: number, minutes = 60): LayerChoice => ({
  layerHeightMm,
  nLayers: Math.round(8 / layerHeightMm),
  minutes: (minutes * 0.1) / layerHeightMm,
  regions: [
    { region: 'face', areaMm2: 20, meanUm: 300 * layerHeightMm, mostUm: 700 * layerHeightMm, raUm: 12, shownShare },
  ],
})
const faceLook = (shown: number, thinner = 0.01): Partial<SurfaceLook> => ({
  regions: { ...PLAIN_LOOK.regions, face: FACE },
  steps: {
    ...PLAIN_LOOK.steps,
    layerShownMm2: new Float64Array(plain.layers.nLayers),
    choices: [choice(0.1, shown), choice(0.08, thinner), choice(0.2, 0.6)],
  },
})

test('nothing is said where the surface was not looked at', () => {
  for (const rule of [stepsOnFace, needsProps, sags, startsOnFace, curls]) expect(rule.look(plain)).toEqual([])
})

describe('steps on the face', () => {
  test('told from a share on, a mark from a quarter of it', () => {
    expect(stepsOnFace.look(withLook(faceLook(0.02)))).toEqual([])
    expect(stepsOnFace.look(withLook(faceLook(0.1)))[0].severity).toBe('note')
    expect(stepsOnFace.look(withLook(faceLook(0.4)))[0].severity).toBe('marks')
  })
  test('the remedy brings um and minutes', () => {
    const [{ remedies, why }] = stepsOnFace.look(withLook(faceLook(0.1)))
    expect(remedies).toHaveLength(1)
    const { change, effect } = remedies[0]
    expect(change).toMatchObject({ what: 'layerHeightMm', from: 0.1, to: 0.08 })
    expect(effect).toMatchObject({ resolves: true, unit: 'um' })
    expect(effect?.before).toBeCloseTo(30, 9)
    expect(effect?.after).toBeCloseTo(24, 9)
    expect(effect?.minutes).toBeCloseTo(15, 9)
    expect(why).toContain('Keep one height')
    expect(stepsOnFace.look(withLook(faceLook(0.1, 0.09)))[0].remedies[0].effect?.resolves).toBe(false)
  })
  test('no face, no finding', () => {
    const { steps } = faceLook(0.5)
    expect(stepsOnFace.look(withLook({ steps }))).toEqual([])
  })
})

test('props are told once, with the largest place', () => {
  const place = { why: 'spans', layer: 30, at: [3, 3, 3], areaMm2: 9, nProps: 2, contactMm2: 1, heightMm: 3 } as const
  const places = [
    { ...place, volumeMm3: 3, onFigure: false },
    { ...place, areaMm2: 1, volumeMm3: 3, onFigure: true },
  ]
  const found = needsProps.look(withLook({ props: { places, nProps: 4, contactMm2: 2, volumeMm3: 6, pitchMm: 4.4 } }))
  expect(found).toHaveLength(1)
  expect(found[0].severity).toBe('costs')
  expect(found[0].place.areaMm2).toBe(9)
  expect(found[0].title).toContain('2 undersides need props')
})

describe('sag', () => {
  const looking = (...sagsMm: number[]): RoomResults => {
    const runs = new Float64Array(RUN_COLUMNS * sagsMm.length)
    sagsMm.forEach((sag, r) => {
      runs[r * RUN_COLUMNS + RUN_ROW.layer] = 20
      runs[r * RUN_COLUMNS + RUN_ROW.lengthMm] = 6
      runs[r * RUN_COLUMNS + RUN_ROW.holds] = 2
      runs[r * RUN_COLUMNS + RUN_ROW.sagMm] = sag
    })
    return withLook({ hanging: { ...PLAIN_LOOK.hanging, runs, nRuns: sagsMm.length } })
  }
  test('told from a layer on, a mark from three; neighbours are one place', () => {
    expect(sags.look(looking(0.09))).toEqual([])
    expect(sags.look(looking(0.12))[0].severity).toBe('note')
    const found = sags.look(looking(0.12, 0.35, Number.NaN))
    expect(found).toHaveLength(1)
    expect(found[0].severity).toBe('marks')
    expect(found[0].evidence[0].value).toBeCloseTo(0.35, 9)
    expect(found[0].why).toContain('held at both ends')
  })
})

test('bead starts on the face are told from four on', () => {
  const starts = (nBareOnFace: number): RoomResults =>
    withLook({
      regions: { ...PLAIN_LOOK.regions, face: FACE },
      starts: {
        ...PLAIN_LOOK.starts,
        starts: new Float64Array(START_COLUMNS * nBareOnFace),
        nStarts: nBareOnFace,
        nBareOnFace,
        leastAt: new Float64Array(2 * plain.layers.nLayers).map((_, i) => 3 * (i % 2)),
        leastBare: new Float64Array(plain.layers.nLayers),
      },
    })
  expect(startsOnFace.look(starts(3))).toEqual([])
  const [found] = startsOnFace.look(starts(4))
  expect(found.severity).toBe('note')
  // The place that shows least lies at x 0, left of the head from 0 to 6.
  expect(found.why).toContain('show least on the left')
})

test('curl is told from half a first layer on', () => {
  const rising = (rimRiseMm: number): RoomResults => withLook({ shrink: { ...PLAIN_LOOK.shrink, rimRiseMm } })
  // The first layer of the test piece is 0.1 mm.
  expect(curls.look(rising(0.04))).toEqual([])
  expect(curls.look(rising(0.06))[0].severity).toBe('note')
  expect(curls.look(rising(0.2))[0].severity).toBe('marks')
})
