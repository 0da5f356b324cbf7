// The pictures: well formed, to scale, named for screen readers, true to closed forms.

import { describe, expect, it } from 'vitest'
import { bodyRadius, circleStack, SHAFT_RADIUS } from '../../tests/examination-fixture.ts'
import { layerAtHeight } from '../engine/kernel/index.ts'
import { toneOf } from './bead-marks.ts'
import { depthMap } from './elevation-svg.ts'
import {
  cividis,
  cividisBytes,
  elevationSvg,
  flagSvg,
  heightScale,
  heightTable,
  legendSvg,
  planScale,
  profileSvg,
  sectionSvg,
  type TrackPicture,
  trackRange,
  trackSentence,
  trackSvg,
} from './index.ts'
import { preferredBelow, roundBelow } from './scales.ts'
import { inTwoLines } from './track-svg.ts'

const faceZ = Float64Array.from({ length: 11 }, (_, i) => i * 0.5)
const track: TrackPicture = {
  id: 'shells',
  question: 'How many shells fit',
  quantity: 'shells at the thinnest place',
  unit: '',
  values: [4, 4, 4, 2, 1, 0, 2, 2, 9, Number.NaN],
  limit: { label: 'asked for', value: 2, bad: 'below' },
  from: 0,
  to: 6,
  drawn: 'steps',
  decimals: 0,
}
const frame = { fromMm: 0, toMm: 5, topPx: 60, plotPx: 400, widthPx: 80, head: true }

/** Tags must nest and close: a check that needs no parser. */
const isWellFormed = (svg: string): boolean => {
  const open: string[] = []
  for (const [, close, name, , selfClosing] of svg.matchAll(/<(\/?)([a-zA-Z]+)((?:\s[^<>]*?)?)(\/?)>/g)) {
    if (close) {
      if (open.pop() !== name) return false
    } else if (!selfClosing) open.push(name)
  }
  return open.length === 0 && !svg.includes('NaN') && !svg.includes('undefined')
}

describe('cividis', () => {
  it('has the published ends and gets lighter all the way', () => {
    expect(cividis(0)).toBe('#00224e')
    expect(cividis(1)).toBe('#fee838')
    const bytes = cividisBytes()
    const lightness = (i: number) => 0.2126 * bytes[4 * i] + 0.7152 * bytes[4 * i + 1] + 0.0722 * bytes[4 * i + 2]
    for (let i = 1; i < 256; i++) expect(lightness(i)).toBeGreaterThanOrEqual(lightness(i - 1) - 0.5)
  })
  it('cuts values beyond the ends', () => {
    expect(cividis(-3)).toBe(cividis(0))
    expect(cividis(7)).toBe(cividis(1))
  })
})

describe('scales', () => {
  it('puts heights upwards on the sheet', () => {
    const y = heightScale(frame)
    expect(y(0)).toBe(460)
    expect(y(5)).toBe(60)
  })
  it('rounds down to 1, 2 or 5', () => {
    expect([0.7, 1, 3.9, 5, 99, 0.02].map(roundBelow)).toEqual([0.5, 1, 2, 5, 50, 0.02])
  })
  it('takes preferred numbers of ten steps a decade', () => {
    expect([13.3, 8, 0.99, 12.4].map(preferredBelow)).toEqual([12.5, 8, 0.8, 10])
  })
  it('finds the layer at a height and stays inside the stack', () => {
    expect([-1, 0, 0.49, 0.5, 4.99, 80].map((mm) => layerAtHeight(faceZ, mm))).toEqual([0, 0, 0, 1, 9, 9])
  })
})

describe('trackSvg', () => {
  it('is well formed, named, and marks what is beyond the axis', () => {
    const svg = trackSvg(track, faceZ, frame)
    expect(isWellFormed(svg)).toBe(true)
    expect(svg).toContain('aria-label="How many shells fit')
    expect(svg).toContain('url(#hatch-shells)')
    // One run of values above 6: one arrow.
    expect(svg.match(/l5 3\.5/g)).toHaveLength(1)
  })
  it('says the range and where it is', () => {
    expect(trackRange(track, faceZ)).toEqual({ least: 0, leastAtMm: 2.75, most: 9, mostAtMm: 4.25 })
    expect(trackSentence(track, faceZ)).toBe(
      'How many shells fit: shells at the thinnest place, least 0 at 2.8 mm, most 9 at 4.3 mm. asked for: 2.',
    )
  })
  it('escapes what a name may carry', () => {
    const svg = trackSvg({ ...track, question: 'a <b> & "c"', id: 'x"y' }, faceZ, frame)
    expect(isWellFormed(svg)).toBe(true)
    expect(svg).not.toContain('<b>')
  })
  it('draws an empty track as an empty plot', () => {
    expect(isWellFormed(trackSvg({ ...track, values: new Float64Array(10).fill(Number.NaN) }, faceZ, frame))).toBe(true)
  })
  it('draws a band of values where it lies on the axis, and says it', () => {
    const band = { label: 'softens', from: 1.5, to: 3 }
    const svg = trackSvg({ ...track, band }, faceZ, frame)
    expect(isWellFormed(svg)).toBe(true)
    // 79 px for 0 to 6, from x = 0.5.
    expect(svg).toContain('x="20.25" y="60" width="19.75"')
    expect(trackSentence({ ...track, band }, faceZ)).toContain('softens: 2 to 3.')
  })
  it('breaks a question into two lines of about equal length', () => {
    expect(inTwoLines('How many shells fit')).toEqual(['How many', 'shells fit'])
    expect(inTwoLines('Area')).toEqual(['Area', ''])
  })
})

describe('a quantity along the outlines', () => {
  const square = { loopStart: [0, 4], points: [0, 0, 10, 0, 10, 10, 0, 10], fromLoop: 0, toLoop: 1 }
  const along = {
    points: [0, 0, 1, 0, 2, 0, 9, 9, 9, 10],
    values: [0, 0, 4, 4, Number.NaN],
    from: 0,
    to: 4,
    joinMm: 1.5,
  }
  it('joins neighbours only, in the colour of their mean', () => {
    const svg = sectionSvg({ solid: square, marks: [], label: 'x', along }, { widthPx: 300, heightPx: 300 })
    expect(isWellFormed(svg)).toBe(true)
    const colours = [...svg.matchAll(/stroke="(#[0-9a-f]{6})" stroke-width="4"/g)].map(([, colour]) => colour)
    // From 0 to 1 the least colour, from 1 to 2 the middle one; the step to (9, 9) is too far, and beyond it nothing is known.
    expect(colours).toEqual([cividis(0.5 / 24), cividis(12.5 / 24)])
  })
})

describe('profileSvg', () => {
  const profile = {
    lines: [
      { atMm: [0, 10, 20], values: [0, 4, 2] },
      { atMm: [20, 25, 30], values: [1, Number.NaN, 1] },
    ],
    lengthMm: 30,
    from: 0,
    to: 4,
    decimals: 1,
    quantity: 'thickness, mm',
    label: 'thickness along the outline',
  }
  const limit = { label: 'one bead', value: 1, bad: 'below' as const }
  it('stands values at their way along, with the limit at its height and a hatch where nothing is known', () => {
    const svg = profileSvg({ ...profile, limit }, 358, 138)
    expect(isWellFormed(svg)).toBe(true)
    // The plot is 300 px wide and 100 px tall: 10 px a mm, 25 px a unit.
    expect(svg).toContain('d="M48,108L148,8L248,58M')
    expect(svg).toMatch(/class="limit" d="M48 83H348"/)
    expect(svg).toMatch(/class="unknown" x="248" y="8" width="100"/)
    expect(svg).toContain('aria-label="thickness along the outline"')
  })
  it('draws no limit where there is none', () => {
    expect(profileSvg(profile, 358, 138)).not.toContain('class="limit"')
  })
})

describe('heightTable', () => {
  it('has a row a step, highest first, with the values of the layer there', () => {
    const table = heightTable([track], faceZ, 1)
    const rows = [...table.matchAll(/<th scope="row">(\d+)<\/th><td>([^<]*)/g)].map(([, mm, value]) => [mm, value])
    expect(rows).toEqual([
      ['4', '9'],
      ['3', '2'],
      ['2', '1'],
      ['1', '4'],
      ['0', '4'],
    ])
  })
})

describe('flagSvg', () => {
  it('gives every severity a shape of its own', () => {
    const shapes = (['breaks', 'marks', 'costs', 'note'] as const).map((severity) => flagSvg(severity, 7))
    for (const svg of shapes) {
      expect(isWellFormed(svg)).toBe(true)
      expect(svg).toContain('>7<')
    }
    expect(new Set(shapes).size).toBe(4)
    expect(shapes[2]).toContain('<rect')
    expect(shapes[3]).toContain('<circle')
  })
})

describe('planScale', () => {
  it('leads from mm to px and back, and has none for an empty section', () => {
    const square = { loopStart: [0, 4], points: [0, 0, 10, 0, 10, 10, 0, 10], fromLoop: 0, toLoop: 1 }
    const scale = planScale(square, { widthPx: 300, heightPx: 300 })
    expect(scale?.toX(5)).toBe(150)
    expect(scale?.fromX(scale.toX(7.25))).toBeCloseTo(7.25, 9)
    expect(scale?.fromY(scale.toY(1.5))).toBeCloseTo(1.5, 9)
    // What it is compared with has room too.
    const wide = { ...square, points: [0, 0, 30, 0, 30, 10, 0, 10] }
    expect(planScale(square, { widthPx: 300, heightPx: 300 }, wide)?.toX(30)).toBeLessThan(300)
    expect(planScale({ ...square, toLoop: 0 }, { widthPx: 300, heightPx: 300 })).toBeNull()
  })
})

describe('sectionSvg', () => {
  const stack = circleStack()
  const atLayer = (layer: number) => ({
    loopStart: stack.loopStart,
    points: stack.points,
    fromLoop: stack.layerStart[layer],
    toLoop: stack.layerStart[layer + 1],
  })
  it('draws outlines to scale: the circle is as wide as its radius says', () => {
    const svg = sectionSvg({ solid: { ...atLayer(10) }, marks: [], label: 'base' }, { widthPx: 400, heightPx: 400 })
    expect(isWellFormed(svg)).toBe(true)
    const path = svg.match(/<path d="(M[^"]*)"[^>]*fill-rule/)?.[1] ?? ''
    const xs = [...path.matchAll(/[ML]([\d.]+) /g)].map(([, x]) => Number(x))
    // 25 mm in 332 px of room: 12.5 px per mm is the preferred scale that fits.
    expect(Math.max(...xs) - Math.min(...xs)).toBeCloseTo(312.5, 0)
    expect(svg).toContain('>5 mm<')
  })
  it('labels what is thin or lost', () => {
    const marks = [{ kind: 'lost' as const, x: 8, y: 0, radiusMm: 0.6, label: 'lost: 0.3 mm' }]
    const svg = sectionSvg(
      { solid: atLayer(100), below: atLayer(99), marks, label: 's' },
      { widthPx: 300, heightPx: 200 },
    )
    expect(isWellFormed(svg)).toBe(true)
    expect(svg).toContain('lost: 0.3 mm')
  })
  it('lays the reach of the beads that it is compared with beneath, in one even tint', () => {
    const otherBeads = {
      beadStart: [0, 2],
      points: [-30, 0, 30, 0],
      stride: 2 as const,
      pointWidth: [0.4, 0.4],
      fromBead: 0,
      toBead: 1,
    }
    const svg = sectionSvg(
      { solid: atLayer(10), other: atLayer(5), otherBeads, marks: [], label: 's' },
      { widthPx: 300, heightPx: 300, mostPxPerMm: 10 },
    )
    expect(isWellFormed(svg)).toBe(true)
    const reach = svg.indexOf('class="reach"')
    expect(reach).toBeGreaterThan(0)
    expect(reach).toBeLessThan(svg.indexOf('fill-rule="evenodd"'))
    expect(svg).toContain('stroke-dasharray="0.1 4"')
  })
  it('draws beads as strips of their width, fuller where there is too much', () => {
    const beads = {
      beadStart: [0, 3, 5, 6],
      points: [-2, 0, 0, 0, 2, 0, -2, 0.4, 2, 0.4, 0, -0.4],
      stride: 2 as const,
      pointWidth: [0.4, 0.4, 0.4, 0.3, 0.3, 0.5],
      fromBead: 0,
      toBead: 3,
    }
    // Left half as it should be, right half a fifth too much.
    const plastic = { cellMm: 1, x0: -3, y0: -0.5, nx: 6, ny: 1, share: [0, 0, 0, 0.2, 0.2, 0.2] }
    const picture = { solid: atLayer(100), beads, plastic, marks: [], label: 's' }
    const svg = sectionSvg(picture, { widthPx: 300, heightPx: 300, mostPxPerMm: 10 })
    expect(isWellFormed(svg)).toBe(true)
    const widths = [...(svg.match(/<g opacity="0.75">.*?<\/g>/)?.[0] ?? '').matchAll(/stroke-width="([\d.]+)"/g)]
    expect(widths.map(([, w]) => Number(w)).sort()).toEqual([3, 4, 5])
    const tones = [...svg.matchAll(/<g opacity="(0\.(?:24|88))">/g)].map(([, tone]) => tone)
    expect(tones).toEqual(['0.24', '0.88'])
    const leastX = (from: string) => {
      const part = svg.slice(svg.indexOf(from))
      const xs = [...part.slice(0, part.indexOf('</g>')).matchAll(/[ML]([\d.]+) /g)].map(([, x]) => Number(x))
      return Math.min(...xs)
    }
    // The beads begin at -2 mm, the surplus at 0, at 10 px per mm.
    expect(leastX('<g opacity="0.88">') - leastX('<g opacity="0.75">')).toBeCloseTo(20, 1)
    expect(svg).not.toContain('url(#plan-hatch)')
    const one = sectionSvg(
      { ...picture, beads: { ...beads, isLeftOut: (b) => b > 0 } },
      { widthPx: 300, heightPx: 300 },
    )
    expect(one.match(/<g opacity="0.75">.*?<\/g>/)?.[0].match(/<path/g)).toHaveLength(1)
  })
  it('shades plastic by how far it is from fitting', () => {
    expect([-0.2, -0.1, -0.05, Number.NaN, 0.05, 0.1, 0.3].map(toneOf)).toEqual([0, 1, 2, 2, 3, 4, 5])
  })
  it('draws threads and numbered marks only when they are handed in', () => {
    const flag = { number: 7, severity: 'marks' as const }
    const marks = [{ kind: 'surplus' as const, x: 3, y: 0, radiusMm: 0.4, label: '0.05 mm proud', flag }]
    const svg = sectionSvg(
      { solid: atLayer(100), marks, threads: [0, 0, 5, 5], label: 's' },
      { widthPx: 300, heightPx: 200 },
    )
    expect(isWellFormed(svg)).toBe(true)
    expect(svg).toContain('>7<')
    expect(svg).toContain('stroke-dasharray="0.1 3"')
  })
  it('says so where there is nothing', () => {
    const nothing = { ...atLayer(0), toLoop: 0 }
    expect(sectionSvg({ solid: nothing, marks: [], label: 's' }, { widthPx: 300, heightPx: 200 })).toContain(
      'Nothing is laid',
    )
  })
})

describe('elevationSvg', () => {
  const stack = circleStack()
  it('has the depth of circles: front of the body at its radius', () => {
    const map = depthMap(stack, 0, 0.2)
    const column = Math.floor((0 - map.fromMm) / map.columnMm)
    for (const layer of [10, 60, 180, 270]) {
      const z = (layer + 0.5) * 0.1
      expect(map.depth[layer * map.nColumns + column]).toBeCloseTo(bodyRadius(z), 1)
    }
  })
  it('sees the shaft in front of the body after a quarter turn', () => {
    const map = depthMap(stack, -Math.PI / 2, 0.2)
    const column = Math.floor((0.05 - map.fromMm) / map.columnMm)
    expect(map.depth[60 * map.nColumns + column]).toBeCloseTo(8 + SHAFT_RADIUS, 1)
  })
  it('is well formed, plain and painted, and of a size a file can carry', () => {
    const plain = { fromMm: 0, toMm: 34, topPx: 10, plotPx: 480, widthPx: 380, turn: 0.4, rulePx: 40 }
    const values = Float64Array.from(stack.points.filter((_, i) => i % 2 === 0))
    for (const svg of [
      elevationSvg(stack, 'Figure', plain),
      elevationSvg(stack, 'Figure', { ...plain, paint: { values, from: 0, to: 5 } }),
    ]) {
      expect(isWellFormed(svg)).toBe(true)
      expect(svg.length).toBeLessThan(400_000)
    }
  })
})

describe('legendSvg', () => {
  it('marks a limit where it stands between the ends, in words too, and says when it is beyond', () => {
    const svg = legendSvg('thickness', 'mm', 0, 4, 1, 200, { label: 'one bead', value: 1 })
    expect(isWellFormed(svg)).toBe(true)
    expect(svg).toContain('d="M50 0V12"')
    expect(svg).toContain('mark: one bead, 1.0 mm<')
    expect(svg).toContain('mark at one bead, 1.0 mm"')
    expect(legendSvg('t', 'mm', 0, 4, 1, 200, { label: 'far', value: 9 })).toContain('beyond the colours')
  })
  it('names both ends', () => {
    const svg = legendSvg('thickness', 'mm', 0.3, 3, 1)
    expect(isWellFormed(svg)).toBe(true)
    expect(svg).toContain('0.3 mm')
    expect(svg).toContain('3.0 mm')
  })
})
