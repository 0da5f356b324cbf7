// Sections against closed forms, a general boolean library and a general polygon library.

import { Clipper, FillRule, type Path64, PointInPolygonResult } from 'clipper2-ts'
import Module, { type ManifoldToplevel } from 'manifold-3d'
import { beforeAll, describe, test } from 'vitest'
import type { PolygonKit } from '../../src/engine/kernel/index.ts'
import { edgeNeighbours, massOf, prepareMesh } from '../../src/engine/mesh/index.ts'
import { cutLayers, loopAreaOf, relateLayers, traceLoops } from '../../src/engine/sections/index.ts'
import { loadPolygonKit } from '../../src/pool/polygon-kit-node.ts'
import { cutSolid, layerArea, stackVolume, standing } from '../section-cases.ts'
import { seededRandom } from '../seeded-random.ts'
import { box, cone, cylinder, prism, type Solid, sphere, torus } from '../solids.ts'
import { checkOutside } from '../validation.ts'

let kit: PolygonKit
let manifold: ManifoldToplevel
beforeAll(async () => {
  kit = await loadPolygonKit()
  manifold = await Module()
  manifold.setup()
})

/** Area of the raw section at one height: every point of the cut kept. */
const rawArea = (solid: Solid, z: number): number => {
  const { positions, triangles } = standing(solid)
  const { mesh } = prepareMesh(positions, triangles)
  const raw = traceLoops(mesh, edgeNeighbours(mesh), Float64Array.of(z))
  let area = 0
  for (let j = 0; j + 1 < raw.chainStart.length; j++)
    area += loopAreaOf(raw.points, raw.chainStart[j], raw.chainStart[j + 1])
  return area
}
/** Share of a circle's area that a regular n-gon on it covers. */
const gon = (n: number): number => (n / (2 * Math.PI)) * Math.sin((2 * Math.PI) / n)

describe('section areas against closed forms', () => {
  const source = 'closed form (solid geometry, any handbook)'
  test('sphere R 10: cut at a cap height of 4', () => {
    checkOutside({
      room: 'sections',
      model: 'section area',
      case: 'sphere R 10, 4 below the top (cut radius 8), 256-gon facets',
      source: `${source}; Archimedes, On the Sphere and Cylinder`,
      expected: 201.062,
      got: rawArea(sphere(10, 256), 16),
      allowed: 1e-3,
      relative: true,
      unit: 'mm2',
    })
  })
  test('cone r 5 h 10 at z 4', () => {
    checkOutside({
      room: 'sections',
      model: 'section area',
      case: 'cone r 5, h 10 at z 4, 128-gon',
      source,
      expected: 28.2743 * gon(128),
      got: rawArea(cone(5, 10, 128), 4),
      allowed: 1e-5,
      relative: true,
      unit: 'mm2',
    })
  })
  test('torus R 10 r 2 at its middle and 1 above', () => {
    for (const [z, expected] of [
      [2, 251.327],
      [3, 217.656],
    ]) {
      checkOutside({
        room: 'sections',
        model: 'section area',
        case: `torus R 10, r 2, axis up, ${z - 2} above the middle`,
        source,
        expected,
        got: rawArea(torus(10, 2, 512, 256), z),
        allowed: 5e-4,
        relative: true,
        unit: 'mm2',
      })
    }
  })
  test('regular prisms: N-gon over circle', () => {
    for (const [n, ratio] of [
      [32, 0.99359],
      [64, 0.99839],
    ]) {
      checkOutside({
        room: 'sections',
        model: 'section area',
        case: `${n}-gon prism of radius 5 over a circle`,
        source: 'closed form (N/2 pi) sin(2 pi/N)',
        expected: ratio,
        got: rawArea(prism(5, 4, n), 1.23) / (Math.PI * 25),
        allowed: 1e-5,
      })
    }
  })
})

describe('layer stacks', () => {
  test('sphere as layers cut at their middles: relative error +(t/R)^2/8', async () => {
    for (const t of [1, 0.5, 0.2]) {
      // Exact facets: compare with the volume of the same polyhedron, so that only the layers' error is left.
      const solid = sphere(10, 512)
      const stack = await cutSolid(solid, { layerHeightMm: t, firstLayerHeightMm: t, toleranceMm: 0 }, kit)
      const { mesh } = prepareMesh(solid.positions, solid.triangles)
      const { volume } = massOf(mesh)
      checkOutside({
        room: 'sections',
        model: 'volume of layers',
        case: `sphere R 10 in layers of ${t} mm`,
        source: 'midpoint rule: (t/R)^2/8',
        expected: (t / 10) ** 2 / 8,
        got: stackVolume(stack) / volume - 1,
        // Cuts meet the chords of the profile at varying places: up to half their sagitta, (pi/512)^2/4 of the area.
        allowed: 1e-5,
      })
    }
  })
  test('simplifying keeps section areas', async () => {
    const stack = await cutSolid(sphere(10, 256), { layerHeightMm: 0.5, firstLayerHeightMm: 0.5 }, kit)
    const exact = await cutSolid(sphere(10, 256), { layerHeightMm: 0.5, firstLayerHeightMm: 0.5, toleranceMm: 0 }, kit)
    checkOutside({
      room: 'sections',
      model: 'simplified outlines (0.003 mm)',
      case: 'volume of a sphere of 256-gons, simplified over kept',
      source: 'invariant: area is kept',
      expected: 1,
      got: stackVolume(stack) / stackVolume(exact),
      allowed: 1e-9,
    })
  })
  test('overhang of a cone on its tip: shift t tan(alpha) a layer', async () => {
    const upright = cone(10, 5, 512)
    const onTip: Solid = {
      positions: Float64Array.from(upright.positions, (v, i) => (i % 3 === 2 ? -v : v)),
      triangles: Uint32Array.from(upright.triangles, (_, i) => upright.triangles[i - (i % 3) + [0, 2, 1][i % 3]]),
    }
    const stack = await cutSolid(onTip, { layerHeightMm: 0.2, firstLayerHeightMm: 0.2, toleranceMm: 0 }, kit)
    const relations = await relateLayers(stack, { allowanceMm: 0.2 }, kit)
    checkOutside({
      room: 'sections',
      model: 'reach beyond the layer below',
      case: 'cone r 10, h 5 on its tip (63.4 deg from the vertical), layers of 0.2',
      source: 'closed form t tan(alpha)',
      expected: 0.4,
      got: relations.unsupportedMm[15],
      allowed: 1e-3,
      unit: 'mm',
    })
  })
})

describe('against general libraries', () => {
  const asManifold = (solid: Solid) =>
    new manifold.Manifold(
      new manifold.Mesh({
        numProp: 3,
        vertProperties: Float32Array.from(solid.positions),
        triVerts: Uint32Array.from(solid.triangles),
      }),
    )

  test('thirty overlapping solids: outlines of the union', async () => {
    const random = seededRandom(41)
    const parts: Solid[] = []
    for (let i = 0; i < 30; i++) {
      const kind = i % 3
      const solid =
        kind === 0 ? sphere(1.5 + random(), 32) : kind === 1 ? cylinder(0.8 + random(), 3, 24) : box(2, 1.5, 2.5)
      const [dx, dy, dz] = [4 * random(), 4 * random(), 2.6 + 4 * random()]
      // Single precision from the start, so that both sides see the same numbers.
      parts.push({
        positions: Float64Array.from(solid.positions, (v, k) => Math.fround(v + [dx, dy, dz][k % 3])),
        triangles: Uint32Array.from(solid.triangles),
      })
    }
    parts.push({ positions: Float64Array.of(...box(9, 9, 0.7).positions), triangles: box(9, 9, 0.7).triangles })
    const all = {
      positions: Float64Array.from(parts.flatMap((p) => [...p.positions])),
      triangles: Uint32Array.from(
        parts.flatMap((p, k) => {
          const first = parts.slice(0, k).reduce((n, q) => n + q.positions.length / 3, 0)
          return [...p.triangles].map((v) => v + first)
        }),
      ),
    }
    const { mesh } = prepareMesh(all.positions, all.triangles)
    let top = 0
    for (let i = 2; i < mesh.positions.length; i += 3) top = Math.max(top, mesh.positions[i])
    const stack = await cutLayers(mesh, top, { layerHeightMm: 0.1, firstLayerHeightMm: 0.1, toleranceMm: 0 }, kit)
    const union = manifold.Manifold.union(parts.map(asManifold))
    let worst = 0
    for (let k = 0; k < stack.nLayers; k++) {
      const slice = union.slice(stack.cutZ[k])
      worst = Math.max(worst, Math.abs(slice.area() - layerArea(stack, k)))
      slice.delete()
    }
    checkOutside({
      room: 'sections',
      model: 'winding of overlapping shells',
      case: 'thirty-one random overlapping solids: greatest difference of layer areas from the cut of their 3-D union',
      source: 'manifold-3d 3.5.4, union then slice',
      expected: 0,
      got: worst,
      allowed: 2e-4,
      unit: 'mm2',
    })
  })

  test('random polygons as prisms: area and nesting', async () => {
    const random = seededRandom(7)
    const scale = 1e6
    let worst = 0
    let disagreements = 0
    for (let round = 0; round < 20; round++) {
      // Stars about random middles, as prisms that overlap, nest and self-cross.
      const solids: Solid[] = []
      const paths: Path64[] = []
      for (let s = 0; s < 5; s++) {
        const n = 5 + Math.floor(random() * 12)
        const [cx, cy] = [6 * random(), 6 * random()]
        const corners = Array.from({ length: n }, (_, i) => {
          const r = 0.5 + 2.5 * random()
          const a = (2 * Math.PI * i) / n
          return [cx + r * Math.cos(a), cy + r * Math.sin(a)] as const
        })
        const positions: number[] = []
        const triangles: number[] = []
        for (const z of [0, 1]) for (const [x, y] of corners) positions.push(x, y, z)
        positions.push(cx, cy, 0, cx, cy, 1)
        for (let i = 0; i < n; i++) {
          const j = (i + 1) % n
          triangles.push(i, j, n + j, i, n + j, n + i, 2 * n, j, i, 2 * n + 1, n + i, n + j)
        }
        solids.push({ positions: Float64Array.from(positions), triangles: Uint32Array.from(triangles) })
        paths.push(corners.map(([x, y]) => ({ x: Math.round(x * scale), y: Math.round(y * scale) })))
      }
      const first = (k: number): number => solids.slice(0, k).reduce((m, q) => m + q.positions.length / 3, 0)
      const all = {
        positions: Float64Array.from(solids.flatMap((s) => [...s.positions])),
        triangles: Uint32Array.from(solids.flatMap((s, k) => [...s.triangles].map((v) => v + first(k)))),
      }
      const stack = await cutSolid(all, { layerHeightMm: 1, firstLayerHeightMm: 1, toleranceMm: 0 }, kit)
      const union = Clipper.union(paths, FillRule.Positive)
      const expected = union.reduce((sum, path) => sum + Clipper.area(path), 0) / scale ** 2
      worst = Math.max(worst, Math.abs(expected - layerArea(stack, 0)))
      // Nesting: a hole's parent must contain it, judged by the library's own point test.
      for (let j = 0; j < stack.loopArea.length; j++) {
        const p = stack.loopParent[j]
        if (p < 0) continue
        const pathOf = (loop: number): Path64 => {
          const path: Path64 = []
          for (let i = stack.loopStart[loop]; i < stack.loopStart[loop + 1]; i++) {
            path.push({ x: Math.round(stack.points[2 * i] * scale), y: Math.round(stack.points[2 * i + 1] * scale) })
          }
          return path
        }
        const outer = pathOf(p)
        const outside = pathOf(j).filter((q) => Clipper.pointInPolygon(q, outer) === PointInPolygonResult.IsOutside)
        if (outside.length > 0) disagreements++
      }
    }
    checkOutside({
      room: 'sections',
      model: 'winding in the plane',
      case: 'twenty layers of five random stars: greatest difference of area',
      source: 'clipper2-ts 2.0.1, union with positive fill',
      expected: 0,
      got: worst,
      allowed: 1e-4,
      unit: 'mm2',
    })
    checkOutside({
      room: 'sections',
      model: 'nesting of loops',
      case: 'the same layers: holes with a corner outside their outer loop',
      source: 'clipper2-ts 2.0.1, point in polygon',
      expected: 0,
      got: disagreements,
      allowed: 0,
    })
  })
})
