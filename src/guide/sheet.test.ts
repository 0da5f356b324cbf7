// The sheet file: everything escaped, nothing loaded, every number there; the data form stable.
import { expect, test } from 'vitest'
import { sampleExamination } from '../../tests/examination-sample.ts'
import type { CodeReport } from '../engine/examine/index.ts'
import { durationWords, plain, sheetHtml, sheetJson, sheetLine } from './index.ts'
import { heightRanges } from './print-words.ts'
import { apart } from './sheet-html.ts'

const source = {
  toolVersion: '0.1.0',
  fileName: 'pillar "one".stl',
  fileSha256: 'ab'.repeat(32),
  settingsSha256: 'cd'.repeat(32),
}

test('all texts of the examination are escaped', () => {
  const html = sheetHtml(sampleExamination(), source)
  expect(html).not.toContain('<script')
  expect(html).not.toContain('<b>')
  expect(html).not.toContain('<i>here')
  expect(html).toContain('Pillar &lt;b&gt;&amp;&quot;one&quot;&lt;/b&gt;')
  expect(html).toContain('pillar &quot;one&quot;.stl')
})

test('the file is alone: no script, no address, no import', () => {
  const html = sheetHtml(sampleExamination(), source).replaceAll('http://www.w3.org/2000/svg', '')
  expect(html).not.toMatch(/https?:|src=|@import|<link|<script|javascript:| on[a-z]+=/)
})

test('it tells findings, place, evidence, certainty, remedies, settings, assumptions, cautions, hashes', () => {
  const html = sheetHtml(sampleExamination(), source)
  for (const part of [
    'The tip is thinner than two beads',
    '25.0 to 29.0 mm up, layers 26 to 29',
    'thinnest place 0.62 mm (limit 0.80 mm)',
    '90 % sure: outlines are exact to 5 µm',
    'Print at 32 mm to the eye: thinnest place 0.62 to 0.71 mm; the finding stays',
    'Thicken by 0.2 mm: effect not worked out',
    'at 10.0 mm up, layer 11',
    '0, 0, 30 deg',
    'The eye line is at 28 mm.',
    'not for children under three',
    source.fileSha256,
    '1450 mm³',
  ])
    expect(html).toContain(part)
})

test('every track has its values in a table', () => {
  const html = sheetHtml(sampleExamination(), source)
  const table = html.slice(html.indexOf('<table class="height-table">'))
  expect(table.match(/<tr>/g)!.length).toBeGreaterThan(29)
  expect(table).toContain('thinnest place, mm')
})

test('the recipe in force stands in a table; a print file held against the plan has a part of its own', () => {
  const html = sheetHtml(sampleExamination(), source)
  expect(html).toContain('<th scope="row">least layer time</th><td>10 s</td>')
  expect(html).not.toContain('Against the print file')
  const words = 'plastic, 3.0 to 5.0 mm: 1 mm3 in the file, 2 mm3 in the plan'
  const differences = Array.from({ length: 10 }, () => ({ words }))
  const code = { name: 'post<i>.gcode', differences } as unknown as CodeReport
  const held = sheetHtml(sampleExamination(), source, code)
  expect(held).toContain('Against the print file post&lt;i&gt;.gcode')
  expect(held.split(words)).toHaveLength(9)
  expect(held).toContain('2 smaller ones')
  expect(sheetHtml(sampleExamination(), source, { ...code, differences: [] })).toContain('It does what the plan asks')
})

test('heights of marked layers are joined where they nearly touch', () => {
  const faceZ = [0, 1, 2, 3, 4, 5, 6, 7]
  const isMarked = (layer: number) => [0, 1, 3, 6].includes(layer)
  expect(heightRanges(isMarked, faceZ, 0.5)).toEqual([
    [0, 2],
    [3, 4],
    [6, 7],
  ])
  expect(heightRanges(isMarked, faceZ, 1)).toEqual([
    [0, 4],
    [6, 7],
  ])
  expect(heightRanges(() => false, faceZ, 1)).toEqual([])
})

test('times are told as people say them', () => {
  expect([45.4, 99.6, 2460, 7512, Number.NaN].map(durationWords)).toEqual([
    '45 s',
    '2 min',
    '41 min',
    '2 h 05 min',
    '–',
  ])
})

test('a figure without findings says so', () => {
  const html = sheetHtml({ ...sampleExamination(), findings: [] }, source)
  expect(html).toContain('Nothing was found')
  expect(html).not.toContain('finding-1')
})

test('the data form is versioned, the same twice, and plain', () => {
  const examination = sampleExamination()
  const line = sheetLine(examination, source)
  expect(line).toBe(sheetLine(sampleExamination(), source))
  const read = JSON.parse(line)
  expect([read.form, read.version, read.source.sha256]).toEqual(['fettle-sheet', 1, source.fileSha256])
  expect(read).toEqual(sheetJson(examination, source))
  expect(read.tracks[1].values[3]).toBeNull()
  expect(read.layers.areaMm2).toHaveLength(30)
  expect(read.layers.areaMm2[0]).toBeCloseTo(144, 9)
  expect(read.figure.mesh).toBeUndefined()
  expect(read.findings[0].remedies[1].effect).toBeNull()
})

test('plain keeps seven digits and refuses what JSON cannot hold', () => {
  expect(plain(new Float32Array([0.1, -0]))).toEqual([0.1, 0])
  expect(plain({ a: Number.POSITIVE_INFINITY, b: undefined, c: [1 / 3] })).toEqual({ a: null, c: [0.3333333] })
  expect(() => plain(() => 1)).toThrow(/no place/)
})

test('flags are moved apart, keep their order and stay below the top', () => {
  const moved = apart([100, 101, 300, 8, 9, 99], 24, 12)
  const sorted = [...moved].sort((a, b) => a - b)
  expect(sorted.every((place, i) => i === 0 || place - sorted[i - 1] >= 24)).toBe(true)
  expect(sorted[0]).toBeGreaterThanOrEqual(12)
  expect(moved[2]).toBe(300)
  expect(moved[3]).toBeLessThan(moved[4])
  expect(moved[5]).toBeLessThan(moved[0])
})
