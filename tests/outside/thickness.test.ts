// Local thickness, shells that fit and openings against closed forms, and against a slow raster of the definition itself.

import { expect, test } from 'vitest'
import type { Figure } from '../../src/engine/figure/index.ts'
import {
  beadsAcross,
  findVanishing,
  measureOutlines,
  measureSurface,
  shellPitch,
} from '../../src/engine/thickness/index.ts'
import { loadPolygonKit } from '../../src/pool/polygon-kit-node.ts'
import { box, cone, cylinder, revolved, type Solid, sphere } from '../solids.ts'
import { type Loop, oneLayer, rectangle, regular, stackOf } from '../solids-2d.ts'
import { checkOutside } from '../validation.ts'

const SPHERES =
  'largest inscribed sphere that contains the point: Hildebrand and Rueegsegger, J. Microsc. 185:67-75, 1997 (definition); value by elementary geometry'
const room = 'thickness'

const figureOf = ({ positions, triangles }: Solid): Figure =>
  ({
    mesh: { kind: 'mesh', positions, triangles, shellOf: new Uint32Array(triangles.length / 3), nShells: 1 },
  }) as unknown as Figure
/** Mean of the thickness of the samples that `keep` picks by x, y, z. */
const meanWhere = async (solid: Solid, keep: (x: number, y: number, z: number) => boolean): Promise<number> => {
  const { samples, thickness } = await measureSurface(figureOf(solid), { maxSamples: 4000 })
  let sum = 0
  let n = 0
  for (let k = 0; k < thickness.length; k++) {
    if (!keep(samples[3 * k], samples[3 * k + 1], samples[3 * k + 2])) continue
    sum += thickness[k]
    n++
  }
  expect(n).toBeGreaterThan(20)
  return sum / n
}

test('in the plane: strip, disc, square, wedge', async () => {
  const model = 'inscribed circles on outlines'
  const strip = await measureOutlines(oneLayer([rectangle(12, 0.8)]))
  checkOutside({
    room,
    model,
    case: 'strip 12 x 0.8',
    source: SPHERES,
    expected: 0.8,
    got: strip.islandThinnest[0],
    allowed: 1e-9,
    unit: 'mm',
  })
  const disc = await measureOutlines(oneLayer([regular(64, 0.6)]))
  checkOutside({
    room,
    model,
    case: 'rod of 1.2 as 64 chords',
    source: SPHERES,
    expected: 1.2,
    got: disc.islandThinnest[0],
    allowed: 0.005,
    unit: 'mm',
  })
  const square = await measureOutlines(oneLayer([rectangle(10, 10)]), { roughnessMm: 0 })
  checkOutside({
    room,
    model,
    case: 'square 10: middle',
    source: SPHERES,
    expected: 10,
    got: square.islandWidest[0],
    allowed: 1e-9,
    unit: 'mm',
  })
  checkOutside({
    room,
    model,
    case: 'square 10: corner',
    source: SPHERES,
    expected: 0,
    got: Math.min(...square.thickness),
    allowed: 1e-9,
    unit: 'mm',
  })
  // A wedge of half-angle b: at s along its side from the tip the circle has radius s tan b.
  const b = Math.PI / 12
  const wedge: Loop = [
    [0, 0],
    [20 * Math.cos(b), -20 * Math.sin(b)],
    [20 * Math.cos(b), 20 * Math.sin(b)],
  ]
  const { samples, thickness } = await measureOutlines(oneLayer([wedge]), { roughnessMm: 0 })
  let worst = 0
  for (let k = 0; k < thickness.length; k++) {
    const s = Math.hypot(samples[2 * k], samples[2 * k + 1])
    if (samples[2 * k] > 12 || s === 0) continue
    worst = Math.max(worst, Math.abs(thickness[k] / (2 * s * Math.tan(b)) - 1))
  }
  checkOutside({
    room,
    model,
    case: 'wedge of 30 degrees: worst share off 2 s tan b',
    source: SPHERES,
    expected: 0,
    got: worst,
    allowed: 1e-6,
  })
})

test('in space: slab, cylinder, sphere, box, cone, stepped shaft', async () => {
  const model = 'inscribed balls on a mesh'
  const slab = await meanWhere(box(10, 10, 1), (x, y) => Math.min(x, y, 10 - x, 10 - y) > 0.6)
  checkOutside({ room, model, case: 'slab 1', source: SPHERES, expected: 1, got: slab, allowed: 1e-5, unit: 'mm' })
  const rod = await meanWhere(cylinder(0.6, 8, 128), (_x, _y, z) => z > 0.8 && z < 7.2)
  checkOutside({
    room,
    model,
    case: 'cylinder of 1.2',
    source: SPHERES,
    expected: 1.2,
    got: rod,
    allowed: 0.002,
    unit: 'mm',
  })
  const ball = await meanWhere(sphere(2, 64), () => true)
  checkOutside({ room, model, case: 'sphere of 4', source: SPHERES, expected: 4, got: ball, allowed: 0.02, unit: 'mm' })
  const brick = await meanWhere(
    box(4, 6, 9),
    (x, y, z) => (x < 0.01 || x > 3.99) && y > 2.1 && y < 3.9 && z > 2.1 && z < 6.9,
  )
  checkOutside({
    room,
    model,
    case: 'box 4 x 6 x 9, middle of its large faces',
    source: SPHERES,
    expected: 4,
    got: brick,
    allowed: 1e-4,
    unit: 'mm',
  })
  // Cone: a ball of radius s sin b has its middle s from the tip on the axis and touches at s cos b along the side.
  const { samples, thickness } = await measureSurface(figureOf(cone(2, 10, 256)), { maxSamples: 3000 })
  const beta = Math.atan(0.2)
  let ratio = 0
  let n = 0
  for (let k = 0; k < thickness.length; k++) {
    const z = samples[3 * k + 2]
    if (z < 3.5 || z > 9) continue
    const alongSide = Math.hypot(10 - z, samples[3 * k], samples[3 * k + 1])
    const s = alongSide / Math.cos(beta)
    ratio += thickness[k] / (2 * s * Math.sin(beta))
    n++
  }
  checkOutside({
    room,
    model,
    case: 'cone: mean share of 2 s sin b',
    source: SPHERES,
    expected: 1,
    got: ratio / n,
    allowed: 0.01,
  })
  const shaft = revolved(
    [
      [0, 0],
      [2, 0],
      [2, 5],
      [0.6, 5],
      [0.6, 11],
      [0, 11],
    ],
    96,
  )
  const thin = await meanWhere(shaft, (x, y, z) => z > 6 && z < 10 && Math.hypot(x, y) > 0.5)
  checkOutside({
    room,
    model,
    case: 'stepped shaft, thin part of 1.2',
    source: SPHERES,
    expected: 1.2,
    got: thin,
    allowed: 0.003,
    unit: 'mm',
  })
  const thick = await meanWhere(shaft, (x, y, z) => z > 2.1 && z < 2.9 && Math.hypot(x, y) > 1.9)
  checkOutside({
    room,
    model,
    case: 'stepped shaft, thick part of 4',
    source: SPHERES,
    expected: 4,
    got: thick,
    allowed: 0.01,
    unit: 'mm',
  })
})

test('against the definition on a raster: distance to the outside, then the largest disc that covers each cell', async () => {
  // An L of two arms, 1.6 and 2.4 wide, on cells of 0.05 mm: slow, and nothing in common with the search.
  const loop: Loop = [
    [0, 0],
    [8, 0],
    [8, 1.6],
    [2.4, 1.6],
    [2.4, 7],
    [0, 7],
  ]
  const cell = 0.05
  const [nx, ny] = [160, 140]
  const inside = (i: number, k: number): boolean => {
    const [x, y] = [(i + 0.5) * cell, (k + 0.5) * cell]
    return x > 0 && y > 0 && ((x < 8 && y < 1.6) || (x < 2.4 && y < 7))
  }
  const toOutline = (x: number, y: number): number => {
    let least = Infinity
    loop.forEach(([ax, ay], j) => {
      const [bx, by] = loop[(j + 1) % loop.length]
      const l2 = (bx - ax) ** 2 + (by - ay) ** 2
      const t = Math.max(0, Math.min(1, ((x - ax) * (bx - ax) + (y - ay) * (by - ay)) / l2))
      least = Math.min(least, Math.hypot(x - ax - t * (bx - ax), y - ay - t * (by - ay)))
    })
    return least
  }
  const local = new Float64Array(nx * ny)
  for (let i = 0; i < nx; i++) {
    for (let k = 0; k < ny; k++) {
      if (!inside(i, k)) continue
      const r = toOutline((i + 0.5) * cell, (k + 0.5) * cell)
      const reach = Math.ceil(r / cell)
      for (let a = Math.max(0, i - reach); a <= Math.min(nx - 1, i + reach); a++)
        for (let b = Math.max(0, k - reach); b <= Math.min(ny - 1, k + reach); b++)
          if (Math.hypot(a - i, b - k) * cell <= r + cell / 2 && local[a * ny + b] < 2 * r) local[a * ny + b] = 2 * r
    }
  }
  const { samples, thickness } = await measureOutlines(oneLayer([loop]), { roughnessMm: 0 })
  // The raster's discs reach points up to half a cell away, so it may say more where the thickness changes, but never less.
  let short = 0
  let onArms = 0
  for (let k = 0; k < thickness.length; k++) {
    // Away from the corners, where one cell is a long way for the thickness.
    const [x, y] = [samples[2 * k], samples[2 * k + 1]]
    if (loop.some(([u, v]) => Math.hypot(x - u, y - v) < 1)) continue
    const i = Math.max(0, Math.min(nx - 1, Math.round(x / cell - 0.5)))
    const j = Math.max(0, Math.min(ny - 1, Math.round(y / cell - 0.5)))
    const near = Math.max(local[i * ny + j], i > 0 ? local[(i - 1) * ny + j] : 0, j > 0 ? local[i * ny + j - 1] : 0)
    short = Math.max(short, thickness[k] - near)
    if ((x > 4.5 && x < 6.5) || (y > 4.5 && y < 5.2)) onArms = Math.max(onArms, Math.abs(near - thickness[k]))
  }
  const rasterSource = 'Hildebrand and Rueegsegger 1997: the definition carried out cell by cell in the test'
  const model = 'inscribed circles on outlines'
  checkOutside({
    room,
    model,
    case: 'L of 1.6 and 2.4: most that any sample exceeds a raster of 0.05',
    source: rasterSource,
    expected: 0,
    got: short,
    allowed: 0.075,
    unit: 'mm',
  })
  checkOutside({
    room,
    model,
    case: 'L of 1.6 and 2.4: worst difference from the raster on the straight arms',
    source: rasterSource,
    expected: 0,
    got: onArms,
    allowed: 0.075,
    unit: 'mm',
  })
})

test('beads across a thickness, and their pitch', () => {
  const model = 'shells that fit'
  const pitchSource = 'equal area of stadiums pressed together, by elementary geometry (common practice, no source)'
  checkOutside({
    room,
    model,
    case: 'pitch 0.45 x 0.2',
    source: pitchSource,
    expected: 0.40708,
    got: shellPitch(0.45, 0.2),
    allowed: 5e-6,
    unit: 'mm',
  })
  checkOutside({
    room,
    model,
    case: 'pitch 0.45 x 0.1',
    source: pitchSource,
    expected: 0.42854,
    got: shellPitch(0.45, 0.1),
    allowed: 5e-6,
    unit: 'mm',
  })
  checkOutside({
    room,
    model,
    case: 'two walls of 0.45 x 0.2',
    source: pitchSource,
    expected: 0.857,
    got: 0.45 + shellPitch(0.45, 0.2),
    allowed: 1e-4,
    unit: 'mm',
  })
  for (const [thick, beads] of [
    [0.3, 0],
    [0.45, 1],
    [0.9, 2],
    [1.35, 3],
  ])
    checkOutside({
      room,
      model,
      case: `whole beads of 0.45 side by side across ${thick}`,
      source: 'common practice, no source',
      expected: beads,
      got: beadsAcross(thick, 0.45, 0.45),
      allowed: 0,
    })
})

test('openings: a strip below a bead, a cone to its tip', async () => {
  const kit = await loadPolygonKit()
  const model = 'vanishing detail'
  const source =
    'opening with a disc (Serra, Image Analysis and Mathematical Morphology, 1982); value by elementary geometry'
  const layers = Array.from({ length: 20 }, () => [[rectangle(6, 0.3)]])
  const [ribbon] = await findVanishing(stackOf(layers, 0.1), { beadWidthMm: 0.4 }, kit)
  checkOutside({
    room,
    model,
    case: 'ribbon 6 x 0.3 x 2: volume',
    source,
    expected: 3.6,
    got: ribbon.volumeMm3,
    allowed: 1e-4,
    unit: 'mm3',
  })
  const tapered = Array.from({ length: 200 }, (_, i) => [[regular(96, 3 * (1 - (i + 0.5) / 200))]])
  const [tip] = await findVanishing(stackOf(tapered, 0.1), { beadWidthMm: 0.4 }, kit)
  // A cone of radius 3 and height 20 is 0.4 mm across at 0.2 / 3 of its height below the tip.
  checkOutside({
    room,
    model,
    case: 'cone: height from which it vanishes',
    source,
    expected: 20 * (1 - 0.2 / 3),
    got: tip.fromLayer * 0.1,
    allowed: 0.11,
    unit: 'mm',
  })
})
