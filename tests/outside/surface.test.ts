// How it will look, against closed forms, a polygon library and common practice.

import { beforeAll, describe, test } from 'vitest'
import type { PolygonKit } from '../../src/engine/kernel/index.ts'
import { prepareMesh } from '../../src/engine/mesh/index.ts'
import { facetsOf } from '../../src/engine/surface/facets.ts'
import {
  beadSetting,
  blockCurvature,
  cuspHeight,
  predictSurface,
  riseMm,
  sharpRa,
  shrinkShare,
  slopeFooting,
  spanSagMm,
  spanSagRate,
  stadiumMoment,
  stepDepth,
  stepRa,
  stripCurvature,
  stubSagRate,
  supportedSpanMm,
  viscosityPaS,
  weightPerMm,
} from '../../src/engine/surface/index.ts'
import { shapeLost } from '../../src/engine/surface/shape-lost.ts'
import { regionSteps, slopeAreas } from '../../src/engine/surface/steps.ts'
import { loadPolygonKit } from '../../src/pool/polygon-kit-node.ts'
import { STARTING_FILAMENT, STARTING_PRINTER, STARTING_RECIPE } from '../../src/recipe/index.ts'
import { figureOf } from '../figure-by-hand.ts'
import { cone, cylinder, type Solid, sphere } from '../solids.ts'
import { boxLoop, circleLoop, stackByHand } from '../stack-by-hand.ts'
import { PLAIN_LOOK } from '../surface-looks.ts'
import { checkOutside } from '../validation.ts'

const room = 'surface'
let kit: PolygonKit
beforeAll(async () => {
  kit = await loadPolygonKit()
})

const cosOf = (deg: number): number => Math.cos((deg * Math.PI) / 180)

describe('steps', () => {
  const source = 'cusp height t |cos theta|, Dolenc & Maekelae, Computer-Aided Design 26:119-126 (1994); from memory'
  test('cusp of a plane', () => {
    for (const [deg, um] of [
      [10, 98.5],
      [30, 86.6],
      [45, 70.7],
      [60, 50],
      [80, 17.4],
    ])
      checkOutside({
        room,
        model: 'cusp height of a plane',
        case: `normal ${deg} deg from the build axis, layer 0.1 mm`,
        source,
        expected: um,
        got: 1000 * cuspHeight(0.1, cosOf(deg)),
        allowed: 0.06,
        unit: 'um',
      })
    checkOutside({
      room,
      model: 'Ra of sharp stairs, a quarter of the cusp',
      case: '45 deg, layer 0.1 mm',
      source: 'mean of a saw-tooth about its middle, closed form',
      expected: 17.7,
      got: 1000 * sharpRa(0.1, cosOf(45)),
      allowed: 0.03,
      unit: 'um',
    })
  })

  /** Mean cusp over a mesh whose triangles all count as one region. */
  const meanCusp = ({ positions, triangles }: Solid, keeps: (t: number, nz: number) => boolean): number => {
    const { mesh } = prepareMesh(Float64Array.from(positions), Uint32Array.from(triangles))
    const facets = facetsOf(mesh)
    const ofTriangle = Uint8Array.from({ length: facets.areas.length }, (_, t) =>
      keeps(t, facets.normals[3 * t + 2]) ? 0 : 1,
    )
    return regionSteps(slopeAreas(facets, { ofTriangle, face: null }, null), 0, 0.1)?.meanUm ?? Number.NaN
  }

  test('mean cusp over a sphere and a cone', () => {
    checkOutside({
      room,
      model: 'mean cusp over a mesh',
      case: 'sphere, layer 0.1 mm: t/2',
      source: 'area mean of |cos theta| over a sphere is 1/2, closed form',
      expected: 50,
      got: meanCusp(sphere(5, 160), () => true),
      allowed: 0.005,
      relative: true,
      unit: 'um',
    })
    checkOutside({
      room,
      model: 'mean cusp over a mesh',
      case: 'flank of a cone r 5, h 10, layer 0.1 mm: t r / sqrt(r2 + h2)',
      source: 'normal of a cone, closed form',
      expected: (100 * 5) / Math.hypot(5, 10),
      got: meanCusp(cone(5, 10, 160), (_, nz) => nz > 0),
      allowed: 0.005,
      relative: true,
      unit: 'um',
    })
  })

  test('half-round sides on a wall', () => {
    const of = { room, source: 'half circles of radius t/2 side by side, closed form' }
    for (const t of [0.1, 0.2])
      checkOutside({
        ...of,
        model: 'Ra of half-round bead sides',
        case: `wall, layer ${t} mm: 0.0907 t`,
        expected: 90.7 * t,
        got: 1000 * stepRa(t, 0),
        allowed: 0.001,
        relative: true,
        unit: 'um',
      })
    checkOutside({
      ...of,
      model: 'depth between half-round bead sides',
      case: 'wall, layer 0.1 mm: t/2',
      expected: 50,
      got: 1000 * stepDepth(0.1, 0),
      allowed: 0.005,
      relative: true,
      unit: 'um',
    })
    checkOutside({
      room,
      model: 'Ra of half-round bead sides against a fit to measured parts',
      case: 'wall, layer 0.1 mm: 69.3 to 72.4 t',
      source: 'Pandey, Reddy, Dhande 2003, fit to prints with rounded edges; from memory',
      expected: 7.1,
      got: 1000 * stepRa(0.1, 0),
      allowed: 0.3,
      relative: true,
      unit: 'um',
    })
  })

  test('nearly level: half-round sides tend to sharp stairs', () => {
    checkOutside({
      room,
      model: 'Ra with half-round sides over that of sharp stairs',
      case: 'normal 5 deg from the build axis',
      source: 'limit of wide treads, closed form',
      expected: 1,
      got: stepRa(0.1, cosOf(5)) / sharpRa(0.1, cosOf(5)),
      allowed: 0.06,
    })
  })
})

test('footing of a bead on a slope', () => {
  checkOutside({
    room,
    model: 'share of a bead on the layer below, 1 - t tan(alpha) / w',
    case: '60 deg from the vertical, layer 0.2, bead 0.45 mm',
    source: 'plane geometry',
    expected: 23,
    got: 100 * slopeFooting(0.45, 0.2, Math.PI / 3),
    allowed: 0.1,
    unit: '%',
  })
})

describe('sag of a viscous strip', () => {
  const w = weightPerMm(0.0714, 1.24)
  const inertia = stadiumMoment(0.4, 0.2)
  const eta = 1945e-6
  const length = 5
  /** Deflection from a course of bending moments, by summing curvature twice; held level at the middle by symmetry. */
  const bySumming = (moment: (x: number) => number): number => {
    const n = 20_000
    const dx = length / 2 / n
    let slope = 0
    let depth = 0
    // From the middle outwards.
    for (let i = 0; i < n; i++) {
      const x = length / 2 - (i + 0.5) * dx
      const curvature = moment(x) / (3 * eta * inertia)
      depth += slope * dx + (curvature * dx * dx) / 2
      slope += curvature * dx
    }
    return depth
  }
  const of = { room, allowed: 1e-4, relative: true, unit: 'mm/s' } as const
  test('spans and stubs', () => {
    const source =
      'viscous beam: E replaced by 3 eta (Trouton 1906), deflection by its rate; bending moments summed twice in the test'
    checkOutside({
      ...of,
      source,
      model: 'rate of sag, 5 w L4 / (384 x 3 eta I)',
      case: '0.4 x 0.2 mm over 5 mm on edges, 1945 Pa s',
      expected: bySumming((x) => (w * x * (length - x)) / 2),
      got: spanSagRate(w, length, inertia, eta, 'on edges'),
    })
    checkOutside({
      ...of,
      source,
      model: 'rate of sag, clamped: a fifth of that',
      case: '0.4 x 0.2 mm over 5 mm clamped, 1945 Pa s',
      expected: bySumming((x) => (w * (6 * length * x - length ** 2 - 6 * x * x)) / 12),
      got: spanSagRate(w, length, inertia, eta, 'clamped'),
    })
    // A stub of half the length: moment w x2 / 2 from its free end, level at its root.
    const half = length / 2
    checkOutside({
      ...of,
      source,
      model: 'rate of sag of a stub, w L4 / (8 x 3 eta I)',
      case: '0.4 x 0.2 mm, 2.5 mm long, 1945 Pa s',
      expected: bySumming((x) => (w * (half - Math.abs(half - x)) ** 2) / 2),
      got: stubSagRate(w, half, inertia, eta),
    })
  })

  test('small sags grow at the clamped rate', () => {
    const bead = { lengthMm: 2, areaMm2: 0.0714, momentMm4: inertia, weightNPerMm: w }
    checkOutside({
      room,
      model: 'sag of a span, bending and hanging',
      case: '2 mm after 0.01 s at 1945 Pa s',
      source: 'clamped viscous beam, closed form',
      expected: 0.01 * spanSagRate(w, 2, inertia, eta, 'clamped'),
      got: spanSagMm(bead, 0.01 / eta),
      allowed: 1e-3,
      relative: true,
      unit: 'mm',
    })
  })

  test('viscosity on the way down', () => {
    checkOutside({
      room,
      model: 'viscosity at 120 over that at 210 deg C',
      case: 'PLA, shift C1 3.24, C2 164.9 K at 200 deg C',
      source: 'WLF with the constants of Cooper-White & Mackay 1999 (constants from memory)',
      expected: 1700,
      got: viscosityPaS(STARTING_FILAMENT, 120) / viscosityPaS(STARTING_FILAMENT, 210),
      allowed: 0.03,
      relative: true,
    })
  })

  test('a span of 5 mm closes well with the fan on', () => {
    const { fluidity } = beadSetting({
      filament: STARTING_FILAMENT,
      nozzleC: 195,
      airMPerS: STARTING_PRINTER.fanAirMPerS,
      roomC: 25,
      widthMm: 0.4,
      heightMm: 0.1,
    })
    const areaMm2 = 0.3 * 0.1 + (Math.PI * 0.01) / 4
    checkOutside({
      room,
      model: 'sag of a span, bending and hanging',
      case: 'PLA at 195 deg C, bead 0.4 x 0.1, 5 mm, fan full',
      source: 'common practice, no source: up to 5 mm closes well, so it sags by no more than a layer',
      expected: 0.1,
      got: spanSagMm(
        { lengthMm: 5, areaMm2, momentMm4: stadiumMoment(0.4, 0.1), weightNPerMm: weightPerMm(areaMm2, 1.24) },
        fluidity,
      ),
      relation: 'at most',
      allowed: 0,
      unit: 'mm',
    })
    checkOutside({
      room,
      model: 'longest span that sags less than half a layer',
      case: 'the starting recipe',
      source: 'common practice, no source: 2 mm closes without trouble',
      expected: 2,
      got: supportedSpanMm({ recipe: STARTING_RECIPE, printer: STARTING_PRINTER, filament: STARTING_FILAMENT }),
      relation: 'at least',
      allowed: 0,
      unit: 'mm',
    })
  })
})

describe('shrinkage and curl', () => {
  test('shrinkage', () => {
    for (const [ppm, percent, mm] of [
      [68, 0.238, 0.06],
      [101, 0.3535, 0.088],
    ]) {
      const share = shrinkShare({ expansionPpmPerK: ppm, glassTransitionC: 60 })
      const source =
        ppm === 68
          ? 'expansion of resin sheets 68e-6 (from memory) times 35 K'
          : 'expansion 101e-6, ASTM E831, printed sheet, times 35 K'
      checkOutside({
        room,
        model: 'shrinkage from the glass transition',
        case: `${ppm}e-6 /K, 60 to 25 deg C`,
        source,
        expected: percent,
        got: 100 * share,
        allowed: 0.001,
        unit: '%',
      })
      checkOutside({
        room,
        model: 'shrinkage from the glass transition',
        case: `${ppm}e-6 /K, on 25 mm`,
        source,
        expected: mm,
        got: 25 * share,
        allowed: 0.001,
        unit: 'mm',
      })
    }
  })

  test('one new layer on a free strip', () => {
    const kappa = stripCurvature(0.00238, 0.2, 2)
    const of = {
      room,
      case: 'strain 0.00238, layer 0.2 on 2 mm, 50 mm long',
      source: 'Timoshenko 1925, strip of two layers of equal stiffness',
    }
    checkOutside({
      ...of,
      model: 'curvature',
      expected: 5.364e-4,
      got: kappa,
      allowed: 1e-3,
      relative: true,
      unit: '1/mm',
    })
    checkOutside({ ...of, model: 'rise', expected: 0.168, got: riseMm(kappa, 50), allowed: 5e-4, unit: 'mm' })
  })

  test('a block held flat until it is off the bed', () => {
    const source = 'bending moment of the stress in the uppermost depth d about the middle, closed form'
    for (const [height, mm] of [
      [2.5, 0.286],
      [3, 0.331],
      [4, 0.279],
      [6, 0.165],
      [10, 0.071],
    ])
      checkOutside({
        room,
        model: 'rise of a block, kappa = 6 eps d (H - d) / H3',
        case: `H ${height}, d 2, 50 mm long, strain 0.00238`,
        source,
        expected: mm,
        got: riseMm(blockCurvature(0.00238, 2, height), 50),
        allowed: 6e-4,
        unit: 'mm',
      })
    let best = 0
    for (let h = 2; h <= 8; h += 0.001) if (blockCurvature(1, 2, h) > blockCurvature(1, 2, best || 2)) best = h
    checkOutside({
      room,
      model: 'height at which a block curls most, over the stressed depth',
      case: 'scan of heights',
      source: `${source}; measured warp peaks at a middle height (Armillotta, Bellotti, Cavallaro 2018, abstract)`,
      expected: 1.5,
      got: best / 2,
      allowed: 0.002,
    })
  })
})

test('edges rounded by the bead: against an opening by a polygon library', () => {
  const stack = stackByHand([[[boxLoop(0, 0, 6, 4)]], [[boxLoop(0, 0, 6, 4)]]], 0.1)
  const square = { points: Float64Array.from([0, 0, 6, 0, 6, 4, 0, 4]), loopStart: Uint32Array.from([0, 4]) }
  const lost = kit.lostByOpening(square, 0.2, 0.2, 1e-5)
  let area = 0
  for (let j = 0; j + 1 < lost.loopStart.length; j++)
    for (let i = lost.loopStart[j]; i < lost.loopStart[j + 1]; i++) {
      const k = i + 1 < lost.loopStart[j + 1] ? i + 1 : lost.loopStart[j]
      area += (lost.points[2 * i] * lost.points[2 * k + 1] - lost.points[2 * k] * lost.points[2 * i + 1]) / 2
    }
  checkOutside({
    room,
    model: 'volume lost at upright edges',
    case: 'box of 6 x 4 mm, bead 0.4 mm, two layers of 0.1 mm',
    source: 'manifold-3d: offset by -0.2 and +0.2 mm and difference',
    expected: area * 0.2,
    got: shapeLost(stack, [], 0.4, 0.1).edgesMm3,
    allowed: 0.002,
    relative: true,
    unit: 'mm3',
  })
})

test('predicted solid: volume of a pin of slabs with half-round sides', async () => {
  const R = 3
  const r = 0.1
  const n = 20
  const stack = stackByHand(
    Array.from({ length: n }, () => [[circleLoop(0, 0, R, 256)]]),
    2 * r,
  )
  const { mesh } = await predictSurface(
    figureOf(cylinder(R, 2 * r * n, 64)),
    stack,
    PLAIN_LOOK,
    { beadWidthMm: 0.4, leastBeadWidthMm: 0.2, gapBeads: true },
    kit,
    { sideSteps: 16, isCold: false },
  )
  let volume = 0
  const { positions: p, triangles } = mesh
  for (let t = 0; t < triangles.length; t += 3) {
    const [a, b, c] = [3 * triangles[t], 3 * triangles[t + 1], 3 * triangles[t + 2]]
    volume +=
      (p[a] * (p[b + 1] * p[c + 2] - p[b + 2] * p[c + 1]) +
        p[a + 1] * (p[b + 2] * p[c] - p[b] * p[c + 2]) +
        p[a + 2] * (p[b] * p[c + 1] - p[b + 1] * p[c])) /
      6
  }
  checkOutside({
    room,
    model: 'volume of the predicted solid',
    case: 'pin of radius 3 mm, 20 layers of 0.2 mm',
    source: 'solid of revolution with half circles of radius t/2 on its rim, closed form',
    expected: n * Math.PI * (2 * r * R * R - 2 * R * r * r * (2 - Math.PI / 2) + r ** 3 * (10 / 3 - Math.PI)),
    got: volume,
    allowed: 0.002,
    relative: true,
    unit: 'mm3',
  })
})
