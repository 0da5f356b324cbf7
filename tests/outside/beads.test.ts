// Beads against handbook geometry, a second polygon library, and closed forms of offsets and medial axes.

import { Clipper, EndType, JoinType } from 'clipper2-ts'
import { beforeAll, describe, test } from 'vitest'
import {
  BEAD_WISHES_DEFAULTS,
  beadArea,
  countBeads,
  feedMmPerS,
  medialAxis,
  pitchOf,
  planBeads,
  roundingMm,
  shellsOf,
} from '../../src/engine/beads/index.ts'
import type { PolygonKit, Polygons } from '../../src/engine/kernel/index.ts'
import { loadPolygonKit } from '../../src/pool/polygon-kit-node.ts'
import { areaOfLoop, boxLoop, circleLoop, ellipseLoop, type Loop, lengthOfLoop, stackByHand } from '../stack-by-hand.ts'
import { checkOutside } from '../validation.ts'

let kit: PolygonKit
beforeAll(async () => {
  kit = await loadPolygonKit()
})
const polygonsOf = (...loops: Loop[]): Polygons => {
  const loopStart = [0]
  for (const loop of loops) loopStart.push(loopStart[loopStart.length - 1] + loop.length)
  return { loopStart: Uint32Array.from(loopStart), points: Float64Array.from(loops.flat(2)) }
}
const loopsOf = ({ loopStart, points }: Polygons): Loop[] =>
  Array.from({ length: loopStart.length - 1 }, (_, j) =>
    Array.from({ length: loopStart[j + 1] - loopStart[j] }, (_, k): [number, number] => [
      points[2 * (loopStart[j] + k)],
      points[2 * (loopStart[j] + k) + 1],
    ]),
  )
const areaOf = (polygons: Polygons) => loopsOf(polygons).reduce((sum, loop) => sum + areaOfLoop(loop), 0)
const lengthOf = (polygons: Polygons) => loopsOf(polygons).reduce((sum, loop) => sum + lengthOfLoop(loop), 0)
const room = 'beads'

describe('section of a bead', () => {
  const source = 'area of a stadium, plane geometry'
  test('area, feed and pitch', () => {
    const of = { room, model: 'bead section', source }
    checkOutside({
      ...of,
      case: 'w 0.45, h 0.2: area',
      expected: 0.081416,
      got: beadArea(0.45, 0.2),
      allowed: 1e-6,
      unit: 'mm2',
    })
    checkOutside({
      ...of,
      case: 'w 0.45, h 0.1: area',
      expected: 0.042854,
      got: beadArea(0.45, 0.1),
      allowed: 1e-6,
      unit: 'mm2',
    })
    checkOutside({
      ...of,
      case: 'w 0.45, h 0.2, 50 mm/s: volume rate',
      expected: 4.071,
      got: 50 * beadArea(0.45, 0.2),
      allowed: 5e-4,
      unit: 'mm3/s',
    })
    checkOutside({
      ...of,
      case: 'the same from 1.75 mm filament',
      expected: 1.692,
      got: feedMmPerS(0.45, 0.2, 50, 1.75),
      allowed: 1e-3,
      unit: 'mm/s',
    })
    checkOutside({
      ...of,
      case: 'w 0.45, h 0.2: pitch without void',
      expected: 0.40708,
      got: pitchOf(0.45, 0.2),
      allowed: 1e-5,
      unit: 'mm',
    })
  })
  test('how many beads fit, by the nearest integer', () => {
    const of = {
      room,
      model: 'bead count by nearest integer, nominal 0.45',
      source:
        'nearest-integer rule, arithmetic (widths on the medial axis: Kuipers, Doubrovski, Wu, Wang, CAD 128:102907, 2020)',
    }
    for (const [thickness, n, width] of [
      [0.3, 1, 0.3],
      [0.6, 1, 0.6],
      [0.8, 2, 0.4],
      [0.9, 2, 0.45],
      [1.2, 3, 0.4],
    ]) {
      const side = countBeads(thickness, 0.45, 0.2, 'side by side')
      checkOutside({ ...of, case: `side by side, ${thickness} mm: count`, expected: n, got: side.n, allowed: 0 })
      checkOutside({
        ...of,
        case: `side by side, ${thickness} mm: width`,
        expected: width,
        got: side.widthMm,
        allowed: 1e-9,
        unit: 'mm',
      })
      const over = countBeads(thickness, 0.45, 0.2, 'overlapping')
      checkOutside({
        ...of,
        case: `pitch w - h(1 - pi/4), ${thickness} mm: count`,
        expected: n,
        got: over.n,
        allowed: 0,
      })
    }
    checkOutside({
      ...of,
      case: 'side by side: one bead becomes two at',
      expected: 0.675,
      allowed: 1e-6,
      unit: 'mm',
      got: switchAt(),
    })
  })
  test('the planner lays that many across a long wall', async () => {
    for (const [thickness, n] of [
      [0.3, 1],
      [0.6, 1],
      [0.8, 2],
      [0.9, 2],
      [1.2, 3],
    ]) {
      const { plan } = await planBeads(stackByHand([[[boxLoop(0, 0, 20, thickness)]]], 0.2), full, kit)
      checkOutside({
        room,
        model: 'planned beads across a wall, pitch w - h(1 - pi/4)',
        source: 'nearest-integer rule, arithmetic',
        case: `wall ${thickness} mm`,
        expected: n,
        got: beadsAcross(plan.points, plan.beadStart, 10),
        allowed: 0,
      })
    }
  })
})
const switchAt = (): number => {
  let low = 0.45
  let high = 0.9
  while (high - low > 1e-9) {
    const middle = (low + high) / 2
    if (countBeads(middle, 0.45, 0.2, 'side by side').n === 1) low = middle
    else high = middle
  }
  return high
}
/** How often paths cross the line x = at. */
const beadsAcross = (points: Float64Array, beadStart: Uint32Array, at: number): number => {
  let n = 0
  for (let b = 0; b + 1 < beadStart.length; b++)
    for (let i = beadStart[b] + 1; i < beadStart[b + 1]; i++) if (points[3 * i - 3] < at !== points[3 * i] < at) n++
  return n
}

const full = {
  ...BEAD_WISHES_DEFAULTS,
  beadWidthMm: 0.45,
  leastBeadWidthMm: 0.225,
  mostBeadWidthMm: 0.81,
  infillShare: 1,
  infillReachShare: 0,
  flowShare: 1,
  nPrimingLoops: 0,
  leftoverPoints: 'deposit' as const,
}

describe('volume laid at full infill', () => {
  const shapes: [string, Loop[]][] = [
    ['box of 20', [boxLoop(0, 0, 20, 20)]],
    ['ring 20/10', [circleLoop(0, 0, 10, 200), circleLoop(0, 0, 5, 120, true)]],
    ['rod of 10', [circleLoop(0, 0, 5, 120)]],
    ['rod of 2', [circleLoop(0, 0, 1, 80)]],
  ]
  test.each(shapes)('%s', async (name, loops) => {
    const { plan } = await planBeads(stackByHand([[loops], [loops]], 0.2), full, kit)
    const area = loops.reduce((sum, loop) => sum + areaOfLoop(loop), 0)
    const length = loops.reduce((sum, loop) => sum + lengthOfLoop(loop), 0)
    const rounding = (length * roundingMm(0.2)) / 2
    for (const layer of [0, 1]) {
      let volume = 0
      for (let b = plan.layerStart[layer]; b < plan.layerStart[layer + 1]; b++) volume += plan.volume[b]
      const of = { room, source: 'solid geometry: outline area less the rounded flank along the outline', unit: 'mm3' }
      checkOutside({
        ...of,
        model: 'volume laid at full infill',
        case: `${name}, layer ${layer + 1}`,
        expected: (area - rounding) * 0.2,
        got: volume,
        allowed: 0.01,
        relative: true,
      })
      // Apart: what the rounding leaves free of the prism, small against it, so the laid volume's own 1 % shows in it.
      checkOutside({
        ...of,
        model: 'rounding term: prism less volume laid',
        case: `${name}, layer ${layer + 1}`,
        expected: rounding * 0.2,
        got: area * 0.2 - volume,
        allowed: 0.01 * area * 0.2,
      })
    }
  })
})

describe('offsets', () => {
  const steiner = 'Steiner formula A + Pr + pi r2 (inwards of a polygon: exact mitred inset)'
  const side = 10
  const triangle: Loop = [
    [0, 0],
    [side, 0],
    [side / 2, (side * Math.sqrt(3)) / 2],
  ]
  test('against the Steiner formula', () => {
    const of = { room, model: 'offset of a polygon', source: steiner }
    const square = polygonsOf(boxLoop(0, 0, 10, 10))
    const out = kit.offset(square, 1, 'round', 1e-5)
    checkOutside({
      ...of,
      case: 'square 10 out by 1: area',
      expected: 143.1416,
      got: areaOf(out),
      allowed: 1e-3,
      unit: 'mm2',
    })
    checkOutside({
      ...of,
      case: 'square 10 out by 1: length',
      expected: 46.2832,
      got: lengthOf(out),
      allowed: 1e-3,
      unit: 'mm',
    })
    checkOutside({
      ...of,
      case: 'square 10 in by 1: area',
      expected: 64,
      got: areaOf(kit.offset(square, -1, 'round', 1e-5)),
      allowed: 1e-6,
      unit: 'mm2',
    })
    checkOutside({
      ...of,
      case: 'triangle 10 out by 1: area',
      expected: 76.4429,
      got: areaOf(kit.offset(polygonsOf(triangle), 1, 'round', 1e-5)),
      allowed: 1e-3,
      unit: 'mm2',
    })
    checkOutside({
      ...of,
      case: 'triangle 10 in by 1: area',
      expected: 18.4974,
      got: areaOf(kit.offset(polygonsOf(triangle), -1, 'round', 1e-5)),
      allowed: 1e-4,
      unit: 'mm2',
    })
  })
  test('centre lines of shells, inset by the Steiner formula', () => {
    const pitch = pitchOf(0.45, 0.2)
    const { levels, inner } = shellsOf(polygonsOf(boxLoop(0, 0, 10, 10)), 3, pitch, roundingMm(0.2) / 2, kit)
    const of = { room, model: 'centre lines of shells', source: steiner, unit: 'mm2' }
    levels.forEach(({ loops }, k) => {
      checkOutside({
        ...of,
        case: `square 10, shell ${k + 1}: area within`,
        expected: (10 - 2 * (0.225 + k * pitch)) ** 2,
        got: areaOf(loops),
        allowed: 1e-6,
      })
    })
    checkOutside({
      ...of,
      case: 'square 10, inside of three shells',
      expected: (10 - 2 * (0.225 + 2.5 * pitch)) ** 2,
      got: areaOf(inner),
      allowed: 1e-6,
    })
  })
  test('shells of a wavy outline against a second library', () => {
    const wavy: Loop = Array.from({ length: 240 }, (_, i) => {
      const a = (2 * Math.PI * i) / 240
      const r = 6 + 0.8 * Math.sin(5 * a) + 0.3 * Math.sin(13 * a)
      return [r * Math.cos(a), r * Math.sin(a)]
    })
    const pitch = pitchOf(0.4, 0.1)
    const { levels } = shellsOf(polygonsOf(wavy), 3, pitch, roundingMm(0.1) / 2, kit)
    levels.forEach(({ loops }, k) => {
      const theirs = Clipper.inflatePathsD(
        [wavy.map(([x, y]) => ({ x, y }))],
        -(0.2 + k * pitch),
        JoinType.Round,
        EndType.Polygon,
        2,
        6,
        1e-3,
      )
      checkOutside({
        room,
        model: 'centre lines of shells',
        source: 'clipper2-ts 2.0.1, direct offset of the outline',
        case: `wavy outline, shell ${k + 1}: area within`,
        expected: Clipper.areaPathsD(theirs),
        got: areaOf(loops),
        allowed: 1e-3,
        relative: true,
        unit: 'mm2',
      })
    })
  })
})

describe('medial axis', () => {
  const options = { stepMm: 0.01, mostRadiusMm: 10, leastFacing: 1.2, unevenMm: 2e-4 }
  const of = { room, model: 'medial axis', source: 'closed form (Blum medial axis), plane geometry', unit: 'mm' }
  const lengthOfPaths = (paths: ReturnType<typeof medialAxis>): number => {
    let length = 0
    for (const { n, points } of paths)
      for (let i = 1; i < n; i++)
        length += Math.hypot(points[2 * i] - points[2 * i - 2], points[2 * i + 1] - points[2 * i - 1])
    return length
  }
  test('rectangle a x b: a segment of b - a when corner arms are left out', () => {
    const paths = medialAxis(polygonsOf(boxLoop(0, 0, 7, 2)), { ...options, leastFacing: 2 })
    checkOutside({ ...of, case: 'rectangle 2 x 7: length', expected: 5, got: lengthOfPaths(paths), allowed: 0.02 })
    checkOutside({
      ...of,
      case: 'rectangle 2 x 7: farthest from the mid-line',
      expected: 0,
      got: Math.max(...paths.flatMap((p) => [...p.points].filter((_, i) => i % 2 === 1).map((y) => Math.abs(y - 1)))),
      allowed: 1e-9,
    })
  })
  test('disc: one point', () => {
    const paths = medialAxis(polygonsOf(circleLoop(1, 2, 3, 360)), { ...options, unevenMm: 1e-3 })
    const far = paths.flatMap((p) =>
      Array.from({ length: p.n }, (_, i) => Math.hypot(p.points[2 * i] - 1, p.points[2 * i + 1] - 2)),
    )
    checkOutside({
      ...of,
      case: 'disc of radius 3: farthest from the middle',
      expected: 0,
      got: Math.max(0, ...far),
      allowed: 0.02,
    })
  })
  test('ellipse a, b: the segment to (a2 - b2)/a', () => {
    const paths = medialAxis(polygonsOf(ellipseLoop(0, 0, 3, 1.5, 2000)), {
      ...options,
      unevenMm: 1e-3,
      leastFacing: 0.9,
    })
    const ends = paths.flatMap((p) => [...p.points].filter((_, i) => i % 2 === 0))
    // Near the end both contacts run together: the arm threshold of 0.9 rad cuts the last part, which the middle of facing f = 0.9 gives.
    const facing = 0.9
    const t = endOfFacing(3, 1.5, facing)
    checkOutside({
      ...of,
      case: 'ellipse 3, 1.5: end of the axis where contacts stand 0.9 rad apart',
      expected: t,
      got: Math.max(...ends),
      allowed: 0.02,
    })
    checkOutside({
      ...of,
      case: 'ellipse 3, 1.5: axis stays within (a2 - b2)/a',
      expected: 0,
      got: Math.max(0, Math.max(...ends) - 2.25),
      allowed: 0,
    })
    const off = paths.flatMap((p) => [...p.points].filter((_, i) => i % 2 === 1).map((y) => Math.abs(y)))
    checkOutside({
      ...of,
      case: 'ellipse 3, 1.5: farthest from the long axis',
      expected: 0,
      got: Math.max(...off),
      allowed: 2e-3,
    })
  })
})
/** Middle of the disc inside an ellipse whose contacts stand `facing` apart: the normal at (a cos t, b sin t) meets the long axis at (a2 - b2) cos t / a. */
const endOfFacing = (a: number, b: number, facing: number): number => {
  let low = 0
  let high = Math.PI / 2
  for (let i = 0; i < 60; i++) {
    const t = (low + high) / 2
    const x = a * Math.cos(t) - ((a * a - b * b) * Math.cos(t)) / a
    const y = b * Math.sin(t)
    if (2 * Math.atan2(y, x) < facing) low = t
    else high = t
  }
  return ((a * a - b * b) * Math.cos(low)) / a
}
