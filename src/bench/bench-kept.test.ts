// The bench without a browser, second part: tracks that stand, two sheets side by side, the place that is kept, print files, pictures.
import { readFileSync } from 'node:fs'
import { crc32 } from 'node:zlib'
import { describe, expect, it } from 'vitest'
import { EXAMINE_DEFAULTS, type Track } from '../engine/examine/index.ts'
import type { Finding } from '../engine/findings/index.ts'
import { isPrintText } from './code/tell-print-file.ts'
import type { Step } from './history.ts'
import { placeText, readPlace, stepsOf } from './keep/kept-place.ts'
import { bytesOfArrays } from './kept-sheets.ts'
import { afterPiece, inPieces } from './lay-parts.ts'
import { moved, standingTracks, tellingTracks } from './log/track-choice.ts'
import { withResolution } from './pictures/save-picture.ts'
import { fileNameOf } from './save-file.ts'
import type { Source } from './state.ts'
import { grouped, inInches } from './units.ts'
import { atHeightsOf, findingChanges, heightBeyond, settingsDifferences, worthRows } from './whatif/compare-sheets.ts'

describe('tracks that stand in the log', () => {
  const ids = ['area', 'thinnest', 'shells', 'reach', 'layer-time', 'shells-only', 'landing', 'snap', 'new-one']
  const tracks = ids.map((id) => ({ id }))
  it('are the most telling that fit, in the order of the log', () => {
    expect(tellingTracks(ids, 4)).toEqual(['thinnest', 'layer-time', 'landing', 'snap'])
    expect(tellingTracks(ids, 99)).toEqual(ids)
    expect(tellingTracks(ids, 0)).toHaveLength(1)
    // A track that nobody has ranked stands before the least telling.
    expect(tellingTracks(ids, 8)).toContain('new-one')
    expect(tellingTracks(ids, 8)).not.toContain('shells-only')
  })
  it('are those that were chosen, in that order, as far as they are known', () => {
    const stand = (choice: readonly string[] | null) => standingTracks(tracks, choice, 3).map(({ id }) => id)
    expect(stand(['snap', 'gone', 'area'])).toEqual(['snap', 'area'])
    expect(stand(['gone'])).toHaveLength(3)
    expect(stand(null)).toHaveLength(3)
  })
  it('move by one place, and not beyond the ends', () => {
    expect(moved(['a', 'b', 'c'], 'b', -1)).toEqual(['b', 'a', 'c'])
    expect(moved(['a', 'b', 'c'], 'c', 1)).toEqual(['a', 'b', 'c'])
    expect(moved(['a', 'b', 'c'], 'x', 1)).toEqual(['a', 'b', 'c'])
  })
})

const track = (values: number[], bad: 'above' | 'below' = 'below'): Track => ({
  id: 'thinnest',
  question: 'how thin',
  quantity: 'wall',
  unit: 'mm',
  values: Float64Array.from(values),
  limit: { label: 'one bead', value: 0.4, bad },
  from: 0,
  to: 2,
  drawn: 'line',
  decimals: 2,
  why: '',
})
const finding = (rule: string, fromMm: number, toMm: number, severity: Finding['severity'] = 'breaks') =>
  ({
    id: `${rule}@${fromMm}`,
    rule,
    severity,
    title: rule,
    place: { fromMm, toMm },
    evidence: [] as const,
  }) as unknown as Finding

describe('two sheets side by side', () => {
  it('say what was set otherwise, in words', () => {
    const a = EXAMINE_DEFAULTS
    expect(settingsDifferences(a, a)).toEqual([])
    const b = {
      ...a,
      layerHeightMm: 0.15,
      scale: { by: 'scale-height', soleToEyeMm: 32 } as const,
      stance: { kind: 'stance', aboutX: Math.PI / 2, aboutY: 0, aboutZ: 0 } as const,
      recipe: { ...a.recipe, flowShare: 1 },
      eyeLineMm: 30,
    }
    const words = settingsDifferences(a, b)
    expect(words).toContain('size: 32 mm to the eye line instead of a guessed size')
    expect(words).toContain('stance: turned 90° to the front or back instead of upright, as sculpted')
    expect(words.some((text) => text.startsWith('layer height: 0.15 mm instead of 0.1 mm'))).toBe(true)
    expect(words.some((text) => text.startsWith('flow'))).toBe(true)
    expect(words).toContain('eyeLineMm: 30 instead of guessed')
    expect(words).toHaveLength(5)
  })
  it('count the height beyond a limit', () => {
    const faceZ = [0, 0.2, 0.3, 0.4, 0.5]
    expect(heightBeyond(track([0.3, 0.5, 0.3, Number.NaN]), faceZ)).toBeCloseTo(0.3, 12)
    expect(heightBeyond(track([0.3, 0.5, 0.3, 0.4], 'above'), faceZ)).toBeCloseTo(0.1, 12)
    const rows = worthRows(
      { tracks: [track([0.3, 0.5, 0.3, 0.5])], layers: { faceZ } as never, findings: [finding('x', 0, 1)] },
      { tracks: [track([0.5, 0.5, 0.3, 0.5])], layers: { faceZ } as never, findings: [] },
    )
    expect(rows).toContainEqual({ name: 'places that will fail', a: '1', b: '0', change: '1 less' })
    expect(rows).toContainEqual({
      name: 'how thin: height below 0.4 mm',
      a: '0.3 mm',
      b: '0.1 mm',
      change: '0.2 mm less',
    })
  })
  it('match findings by rule and height, notes left out', () => {
    const { gone, come } = findingChanges(
      [finding('thin', 3, 9), finding('air', 20, 21), finding('note', 0, 1, 'note')],
      [finding('thin', 3.4, 8), finding('air', 30, 31)],
    )
    expect(gone.map(({ place }) => place.fromMm)).toEqual([20])
    expect(come.map(({ place }) => place.fromMm)).toEqual([30])
  })
  it('bring values to the heights of other layers', () => {
    const values = atHeightsOf([1, 2, 3], [0, 1, 2, 3], [0, 0.5, 1, 1.5, 2.5, 4])
    expect([...values.slice(0, 4)]).toEqual([1, 1, 2, 3])
    expect(values[4]).toBeNaN()
  })
})

describe('the place that is kept', () => {
  const source = (id: string): Source => ({
    id,
    name: id,
    story: '',
    soleToEyeMm: null,
    bytes: async () => new Uint8Array(),
  })
  const step = (label: string, code?: Source): Step => ({
    label,
    source: source('file a'),
    settings: { ...EXAMINE_DEFAULTS, nShells: 2 },
    ...(code ? { code } : {}),
  })
  it('comes back as it was, print file included', () => {
    const steps = [step('one'), step('two', source('file print'))]
    const place = readPlace(placeText(steps, 1))!
    const again = stepsOf(place, source, source)!
    expect(again.map(({ label }) => label)).toEqual(['one', 'two'])
    expect(again[1].code?.id).toBe('file print')
    expect(again[0].settings).toEqual(steps[0].settings)
    expect(place.at).toBe(1)
    expect(stepsOf(place, () => null, source)).toBeNull()
  })
  it('gets what an older bench did not know from the starting values', () => {
    const { flowShare: _, ...recipe } = EXAMINE_DEFAULTS.recipe
    const old = { steps: [{ label: 'x', sourceId: 'a', sourceName: 'a', settings: { nShells: 4, recipe } }], at: 0 }
    const { settings } = readPlace(JSON.stringify(old))!.steps[0]
    expect(settings.nShells).toBe(4)
    expect(settings.recipe.flowShare).toBe(EXAMINE_DEFAULTS.recipe.flowShare)
    expect(settings.beadWidthMm).toBe(EXAMINE_DEFAULTS.beadWidthMm)
  })
  it('is nothing when the text is not one', () => {
    for (const text of [null, '', '{', '[]', '{"steps":[],"at":0}', '{"steps":[{"label":1}],"at":0}', '{"steps":[{}]}'])
      expect(readPlace(text)).toBeNull()
    expect(readPlace('{"steps":[{"label":"a","sourceId":"b","sourceName":"c","settings":{}}],"at":3}')).toBeNull()
  })
  it('keeps the last thirty of many steps, the one that is shown among them', () => {
    const many = Array.from({ length: 50 }, (_, k) => step(String(k)))
    for (const at of [0, 25, 49]) {
      const place = readPlace(placeText(many, at))!
      expect(place.steps.length).toBe(30)
      expect(place.steps[place.at].label).toBe(String(at))
    }
  })
})

describe('print files', () => {
  it('are told by their words', () => {
    expect(isPrintText(readFileSync('demo/mooring-post.gcode', 'utf8'))).toBe(true)
    expect(isPrintText('N10 G28\nN20 G1 X1 Y1*34\nG1X2\nM104S200\n')).toBe(true)
  })
  it('are not taken for meshes, recipes or words, nor these for them', () => {
    expect(isPrintText('solid x\nfacet normal 0 0 0\nouter loop\nvertex 1 2 3\n')).toBe(false)
    expect(isPrintText('g body\nv 1 2 3\nv 1 2 4\nf 1 2 3\ng 2\n')).toBe(false)
    expect(isPrintText('{"form":"fettle-recipe"}')).toBe(false)
    expect(isPrintText('G1 X1\0G1 X1\nG1 X2\nG1\nG1\n')).toBe(false)
    expect(isPrintText('')).toBe(false)
  })
})

describe('small things', () => {
  it('parts that come together are laid apart, each once', () => {
    const parts = { findings: [], tracks: [], summary: {} as never, vanishing: [] }
    const pieces = inPieces(parts)
    expect(pieces.map((piece) => Object.keys(piece))).toEqual([['summary'], ['vanishing'], ['tracks'], ['findings']])
    expect(inPieces({})).toEqual([])
    // Findings that come faster than they are drawn: the newest are drawn.
    const older = { findings: [] }
    const newer = { findings: [] }
    const waiting = afterPiece([older, { tracks: [] }], newer)
    expect(waiting).toHaveLength(2)
    expect(waiting[1]).toBe(newer)
  })
  it('the room that a sheet takes is that of its arrays', () => {
    expect(bytesOfArrays({ a: new Float64Array(10), b: [{ c: new Uint8Array(3) }], d: 'text', e: null })).toBe(83)
  })
  it('a PNG carries its resolution: dots a metre, and a sum that is right', () => {
    const png = Uint8Array.from([137, 80, 78, 71, 13, 10, 26, 10, ...new Array(25).fill(7), 1, 2, 3])
    const whole = withResolution(png, 300)
    const view = new DataView(whole.buffer)
    expect(whole.length).toBe(png.length + 21)
    expect(new TextDecoder().decode(whole.subarray(37, 41))).toBe('pHYs')
    expect([view.getUint32(41), view.getUint32(45), whole[49]]).toEqual([11811, 11811, 1])
    expect(view.getUint32(50)).toBe(crc32(whole.subarray(37, 50)))
    expect([...whole.slice(-3)]).toEqual([1, 2, 3])
  })
  it('names, numbers and inches', () => {
    expect(fileNameOf('Fin figure (2).STL')).toBe('fin-figure-2')
    expect(fileNameOf('../..')).toBe('figure')
    expect([grouped(7), grouped(1234), grouped(84974), grouped(1359584)]).toEqual(['7', '1,234', '84,974', '1,359,584'])
    expect(inInches(25.4)).toBe('1.00 in')
    expect(inInches(0.1)).toBe('0.004 in')
  })
})
