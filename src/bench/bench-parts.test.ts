// The bench without a browser: history, layout, flags, surface, words, settings.
import { describe, expect, it } from 'vitest'
import type { ExamineSettings } from '../engine/examine/index.ts'
import { EXAMINE_DEFAULTS } from '../engine/examine/index.ts'
import type { Mesh } from '../engine/mesh/index.ts'
import { STARTING_FILAMENT, STARTING_RECIPE } from '../recipe/index.ts'
import { drawnFrame, heightAt, layOutBoard, placeOf } from './board-frame.ts'
import { displaySurface, vertexNormals } from './display-surface.ts'
import { spreadFlags } from './elevation/spread-flags.ts'
import { certaintyWords, effectWords, evidenceWords } from './findings/finding-words.ts'
import { afterStep, changedKeys, type Step, stepKey, withChange } from './history.ts'
import { easyTracks, mostTracks, trackWidth } from './log/track-width.ts'
import { readFormText } from './open-forms.ts'
import { otherDifferences, RECIPE_LINES } from './sheet/recipe-lines.ts'
import { FIELDS, readField } from './sheet/settings-table.ts'
import type { Source } from './state.ts'

const source: Source = { id: 'x', name: 'x', story: '', soleToEyeMm: 28, bytes: async () => new Uint8Array() }
const stepOf = (label: string, settings: ExamineSettings = EXAMINE_DEFAULTS): Step => ({ label, source, settings })

describe('history', () => {
  it('drops what was taken back when a new step is taken', () => {
    const steps = [stepOf('a'), stepOf('b'), stepOf('c')]
    expect(afterStep(steps, 0, stepOf('d')).map(({ label }) => label)).toEqual(['a', 'd'])
  })
  it('makes the changes that remedies name', () => {
    const larger = withChange(EXAMINE_DEFAULTS, { what: 'soleToEyeMm', from: 28, to: 32 }, 28)
    expect(larger?.scale).toEqual({ by: 'scale-height', soleToEyeMm: 32 })
    const share = withChange(EXAMINE_DEFAULTS, { what: 'scaleShare', from: 1, to: 1.5 }, 28)
    expect(share?.scale).toEqual({ by: 'scale-height', soleToEyeMm: 42 })
    const leaning = withChange(EXAMINE_DEFAULTS, { what: 'stance', from: [0, 0, 0], to: [90, 0, -45] }, 28)
    expect(leaning?.stance).toEqual({ kind: 'stance', aboutX: Math.PI / 2, aboutY: 0, aboutZ: -Math.PI / 4 })
    const finer = withChange(EXAMINE_DEFAULTS, { what: 'beadWidthMm', from: 0.4, to: 0.3 }, 28)
    expect(finer?.beadWidthMm).toBe(0.3)
    expect(finer?.leastBeadWidthMm).toBeLessThanOrEqual(0.3)
    const leaner = withChange(EXAMINE_DEFAULTS, { what: 'flowShare', from: 0.95, to: 0.9 }, 28)
    expect(leaner?.recipe.flowShare).toBe(0.9)
    expect(changedKeys(EXAMINE_DEFAULTS, leaner!)).toEqual(['recipe'])
    const waiting = withChange(EXAMINE_DEFAULTS, { what: 'waitForLayerTime', from: 0, to: 1 }, 28)
    expect(waiting?.recipe.waitForLayerTime).toBe(true)
    expect(withChange(EXAMINE_DEFAULTS, { what: 'noSuchThing', from: 0, to: 1 }, 28)).toBeNull()
  })
  it('keeps sheets under figure and settings alone', () => {
    expect(stepKey(stepOf('one'))).toBe(stepKey(stepOf('two')))
    expect(stepKey(stepOf('one'))).not.toBe(stepKey(stepOf('one', { ...EXAMINE_DEFAULTS, nShells: 2 })))
  })
})

describe('layOutBoard', () => {
  it('lets the figure fit in height and width, on one axis with the log', () => {
    for (const [width, window, top, reach] of [
      [360, 780, 36, 12.5],
      [970, 1000, 36, 12.5],
      [970, 1000, 18, 22],
      [2600, 2100, 40, 13],
      [690, 800, 120, 60],
    ]) {
      const f = layOutBoard(width, window, top, reach)
      expect(f.toMm).toBeGreaterThanOrEqual(top)
      expect(2 * reach * f.pxPerMm).toBeLessThanOrEqual(f.elevationPx - f.rulePx - f.gutterPx)
      expect(f.logPx).toBeGreaterThan(0.4 * width)
      for (const mm of [0, 7.3, top]) expect(heightAt(f, placeOf(f, mm))).toBeCloseTo(mm, 9)
      expect(f.plotPx / (f.toMm - f.fromMm)).toBeCloseTo(f.pxPerMm, 9)
    }
  })
  it('grows with the text: the same sheet, larger', () => {
    const [plain, large] = [layOutBoard(1000, 900, 36, 12.5), layOutBoard(1750, 1575, 36, 12.5, 1.75)]
    expect(large.topPx).toBeCloseTo(1.75 * plain.topPx, 9)
    expect(large.pxPerMm).toBeCloseTo(1.75 * plain.pxPerMm, 9)
    expect(large.toMm).toBeCloseTo(plain.toMm, 9)
    expect(drawnFrame(large).plotPx).toBeCloseTo(plain.plotPx, 9)
    expect(trackWidth(1.75 * 700, 9, 1.75)).toBeCloseTo(1.75 * trackWidth(700, 9), -1)
  })
  it('keeps tracks readable however many there are', () => {
    expect(trackWidth(500, 4)).toBeGreaterThanOrEqual(100)
    // On a telephone they slide, and each is wide enough to read.
    expect(trackWidth(200, 20)).toBe(86)
    // Elsewhere no more are shown than stand side by side.
    for (const width of [340, 600, 640, 980, 2400]) {
      expect(mostTracks(width)).toBeGreaterThanOrEqual(easyTracks(width))
      expect(trackWidth(width, mostTracks(width))).toBeGreaterThanOrEqual(50)
      expect(mostTracks(width) * (trackWidth(width, mostTracks(width)) + 8)).toBeLessThanOrEqual(width)
    }
    expect(9 * trackWidth(600, 9) + 8 * 8 + 8).toBeLessThanOrEqual(600)
    expect(trackWidth(4000, 2)).toBe(340)
  })
})

describe('spreadFlags', () => {
  it('leaves flags where they are wanted while there is room', () => {
    expect(spreadFlags([100, 10, 60], 20, 0, 200)).toEqual([100, 10, 60])
  })
  it('keeps them apart, in order and on the sheet', () => {
    let seed = 7
    const random = () => {
      seed = (seed * 1103515245 + 12345) % 2147483648
      return seed / 2147483648
    }
    for (let round = 0; round < 50; round++) {
      const wanted = Array.from({ length: 1 + Math.floor(random() * 18) }, () => 20 + random() * 440)
      const places = spreadFlags(wanted, 24, 11, 469)
      const order = wanted.map((_, i) => i).sort((a, b) => wanted[a] - wanted[b] || a - b)
      for (let k = 1; k < order.length; k++)
        expect(places[order[k]] - places[order[k - 1]]).toBeGreaterThanOrEqual(24 - 1e-9)
      expect(Math.min(...places)).toBeGreaterThanOrEqual(11 - 1e-9)
      expect(Math.max(...places)).toBeLessThanOrEqual(469 + 1e-9)
    }
  })
})

describe('displaySurface', () => {
  /** A sphere of radius 10 mm: rings of quads cut in two, fine enough to be thinned. */
  const sphere = (nRings: number): Mesh => {
    const positions: number[] = []
    const triangles: number[] = []
    for (let i = 0; i <= nRings; i++)
      for (let j = 0; j < nRings; j++) {
        const [a, b] = [(Math.PI * i) / nRings, (2 * Math.PI * j) / nRings]
        positions.push(10 * Math.sin(a) * Math.cos(b), 10 * Math.sin(a) * Math.sin(b), 10 * Math.cos(a))
        if (i === nRings) continue
        const [here, right] = [i * nRings + j, i * nRings + ((j + 1) % nRings)]
        triangles.push(here, here + nRings, right, right, here + nRings, right + nRings)
      }
    return {
      kind: 'mesh',
      positions: Float64Array.from(positions),
      triangles: Uint32Array.from(triangles),
      shellOf: new Uint32Array(triangles.length / 3),
      nShells: 1,
    }
  }
  it('shows a small mesh as it is, with normals that point outwards', () => {
    const mesh = sphere(60)
    const surface = displaySurface(mesh)
    expect(surface.triangles.length).toBe(mesh.triangles.length)
    expect(surface.reachMm).toBeCloseTo(10, 3)
    expect(surface.quantities).toEqual([])
    const normals = vertexNormals(surface.positions, surface.triangles)
    for (let i = 3 * 120; i < 3 * 3000; i += 3) {
      const along =
        (normals[i] * surface.positions[i] +
          normals[i + 1] * surface.positions[i + 1] +
          normals[i + 2] * surface.positions[i + 2]) /
        10
      expect(along).toBeGreaterThan(0.99)
    }
  })
  it('thins a large mesh without moving its surface or losing its thickness', () => {
    const mesh = sphere(400)
    const thickness = new Float32Array(mesh.positions.length / 3).fill(20)
    const surface = displaySurface(mesh, [
      { id: 't', name: 't', unit: 'mm', values: thickness, from: 0, to: 1, decimals: 1 },
    ])
    expect(surface.triangles.length).toBeLessThan(mesh.triangles.length)
    const [{ values }] = surface.quantities
    expect(values.length).toBe(surface.positions.length / 3)
    expect(values.every((t) => t === 20)).toBe(true)
    for (let i = 0; i < surface.positions.length; i += 3)
      expect(Math.hypot(surface.positions[i], surface.positions[i + 1], surface.positions[i + 2])).toBeCloseTo(10, 3)
  })
})

describe('words', () => {
  it('says evidence, certainty and effect in plain words', () => {
    expect(evidenceWords({ label: 'thinnest', value: 0.3, unit: 'mm', limit: 0.4 })).toBe(
      'thinnest 0.30 mm (limit 0.40 mm)',
    )
    expect(evidenceWords({ label: 'area', value: 12.34, unit: 'mm2' })).toBe('area 12.3 mm²')
    expect(certaintyWords(0.82)).toBe('sure 8 in 10')
    const effect = { resolves: true, label: 'thinnest', before: 0.3, after: 0.5, unit: 'mm', brings: ['small-footing'] }
    expect(effectWords(effect)).toBe('cures it, at a price: thinnest 0.30 → 0.50 mm; brings small footing')
  })
})

describe('settings page', () => {
  it('reads back what it shows', () => {
    for (const field of [...FIELDS, ...RECIPE_LINES]) {
      const shown = field.read(EXAMINE_DEFAULTS)
      const outcome = readField(field, shown === null ? '' : String(shown))
      expect(outcome).toEqual({ value: shown })
      expect(field.write(EXAMINE_DEFAULTS, shown)).toEqual(EXAMINE_DEFAULTS)
    }
  })
  it('takes a comma for a point and refuses what is out of range in words', () => {
    const layers = FIELDS.find(({ id }) => id === 'layerHeightMm')!
    expect(readField(layers, '0,12')).toEqual({ value: 0.12 })
    expect(readField(layers, '7')).toEqual({ wrong: 'Layer height must lie between 0.02 and 1 mm.' })
    expect(readField(layers, 'thin')).toHaveProperty('wrong')
    expect(readField(layers, '')).toEqual({ wrong: 'Layer height needs a number.' })
  })
  it('shows shares in percent and keeps them as shares', () => {
    const flow = RECIPE_LINES.find(({ id }) => id === 'flowShare')!
    expect([flow.unit, flow.least, flow.most, flow.read(EXAMINE_DEFAULTS)]).toEqual(['%', 70, 130, 95])
    expect(flow.write(EXAMINE_DEFAULTS, 97.5).recipe.flowShare).toBe(0.975)
    expect(readField(flow, '3')).toEqual({ wrong: 'Flow share must lie between 70 and 130 %.' })
    expect(flow.help).toContain('0.95')
  })
  it('names what a recipe changes that has no line of its own', () => {
    expect(otherDifferences(EXAMINE_DEFAULTS)).toEqual([])
    const faster = { ...EXAMINE_DEFAULTS, recipe: { ...EXAMINE_DEFAULTS.recipe, cornerSpeedMmPerS: 8, flowShare: 1 } }
    expect(otherDifferences(faster)).toEqual([expect.stringContaining('corner speed: 8 mm/s instead of 5 mm/s')])
  })
})

describe('recipes and cards from files', () => {
  const recipe = { ...STARTING_RECIPE, name: 'brisk', layerHeightMm: 0.08, nShells: 2 }
  it('follows a recipe in everything it says', () => {
    const read = readFormText(JSON.stringify(recipe))
    expect(read.ok && read.label).toBe('recipe brisk')
    const settings = read.ok ? read.apply(EXAMINE_DEFAULTS) : EXAMINE_DEFAULTS
    expect([settings.layerHeightMm, settings.nShells, settings.recipe.name]).toEqual([0.08, 2, 'brisk'])
  })
  it('takes a card for what it says it is', () => {
    const read = readFormText(JSON.stringify({ ...STARTING_FILAMENT, name: 'other PLA', diameterMm: 1.77 }))
    expect(read.ok && read.label).toBe('filament card other PLA')
    expect(read.ok && read.apply(EXAMINE_DEFAULTS).filament.diameterMm).toBe(1.77)
  })
  it('refuses with key, value and range', () => {
    const read = readFormText(JSON.stringify({ ...recipe, flowShare: 95 }))
    expect(read.ok).toBe(false)
    expect(!read.ok && read.troubles[0]).toContain('flowShare is 95; it must be 0.7 to 1.3')
  })
})
