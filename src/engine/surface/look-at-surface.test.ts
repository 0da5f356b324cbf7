import { beforeAll, describe, expect, test } from 'vitest'
import { figureOf } from '../../../tests/figure-by-hand.ts'
import { box, cone, moved, sphere, together } from '../../../tests/solids.ts'
import { loadPolygonKit } from '../../pool/polygon-kit-node.ts'
import { STARTING_FILAMENT, STARTING_PRINTER, STARTING_RECIPE } from '../../recipe/index.ts'
import { planBeads } from '../beads/index.ts'
import type { Figure } from '../figure/index.ts'
import type { PolygonKit } from '../kernel/index.ts'
import { prepareMesh, readSculpt } from '../mesh/index.ts'
import { cutLayers, relateLayers } from '../sections/index.ts'
import { timeBeads } from '../timing/index.ts'
import {
  lookAtSurface,
  type PredictedSurface,
  predictSurface,
  RUN_COLUMNS,
  RUN_ROW,
  type SurfaceSubject,
  writePredicted,
} from './index.ts'

let kit: PolygonKit
beforeAll(async () => {
  kit = await loadPolygonKit()
})
const recipe = { ...STARTING_RECIPE, firstLayerHeightMm: 0.1, nPrimingLoops: 0 }
const cards = { recipe, printer: STARTING_PRINTER, filament: STARTING_FILAMENT }

const subjectOf = async (figure: Figure): Promise<SurfaceSubject> => {
  const heights = { layerHeightMm: recipe.layerHeightMm, firstLayerHeightMm: recipe.firstLayerHeightMm }
  const layers = await cutLayers(figure.mesh, figure.max[2], heights, kit)
  const relations = await relateLayers(layers, { allowanceMm: recipe.beadWidthMm / 2 }, kit)
  const { plan } = await planBeads(layers, { ...recipe, leftoverPoints: 'empty' }, kit)
  const timeline = await timeBeads(plan, cards)
  return { figure, layers, relations, vanishing: [], plan, timeline, ...cards }
}

/** Two posts and a beam across them: 6 mm of air under its middle. */
const gate = () => figureOf(together(box(2, 3, 4), moved(box(2, 3, 4), 8, 0, 0), moved(box(10, 3, 1), 0, 0, 4)), 'gate')

describe('a gate', () => {
  test('the beam hangs between its posts and sags there', async () => {
    const subject = await subjectOf(gate())
    const { hanging, props } = await lookAtSurface(subject, kit)
    const first = subject.layers.faceZ.findIndex((z) => z > 4 - 1e-6)
    expect(hanging.layerFooting[first]).toBe(0)
    expect(hanging.layerHangingMm[first]).toBeGreaterThan(20)
    expect(hanging.layerSagMm[first]).toBeGreaterThan(0.02)
    expect(hanging.layerFooting[first + 2]).toBeCloseTo(1, 9)
    expect(hanging.layerSagMm[first + 2]).toBe(0)
    const long = Array.from({ length: hanging.nRuns }, (_, r) => hanging.runs.subarray(r * RUN_COLUMNS)).filter(
      (row) => row[RUN_ROW.layer] === first && row[RUN_ROW.lengthMm] > 5,
    )
    expect(long.length).toBeGreaterThan(0)
    for (const row of long) expect(row[RUN_ROW.holds]).toBe(2)
    // 6 mm by 3 mm of underside: longer than a span may be.
    expect(props.places).toHaveLength(1)
    expect(props.places[0].why).toBe('spans')
    expect(props.places[0].onFigure).toBe(false)
    expect(props.places[0].heightMm).toBeCloseTo(4, 6)
  })

  test('heat of the same plan goes before a bead alone', async () => {
    const subject = await subjectOf(gate())
    const cold = await lookAtSurface(subject, kit)
    expect(cold.leftOut).toHaveLength(1)
    expect(cold.hanging.cooling).toBe('single bead in the fan')
    const softS = new Float32Array(subject.plan.nBeads).fill(30)
    const heat = { beads: { softS } } as unknown as NonNullable<SurfaceSubject['heat']>
    const warm = await lookAtSurface({ ...subject, heat }, kit)
    expect(warm.leftOut).toEqual([])
    expect(warm.hanging.cooling).toBe('from heat')
    const most = (v: Float64Array): number => v.reduce((a, b) => Math.max(a, b), 0)
    expect(most(warm.hanging.layerSagMm)).toBeGreaterThan(2 * most(cold.hanging.layerSagMm))
  })
})

test('what starts in mid air falls and is propped; a post on the bed is not', async () => {
  const subject = await subjectOf(figureOf(together(box(3, 3, 6), moved(box(2, 2, 1), 5, 0, 3)), 'loose block'))
  const { props, hanging } = await lookAtSurface(subject, kit)
  expect(props.places.map((p) => p.why)).toEqual(['starts in mid air'])
  expect(props.places[0].at[2]).toBeCloseTo(3, 6)
  expect(props.contactMm2).toBeGreaterThan(0.4)
  let nLoose = 0
  for (let r = 0; r < hanging.nRuns; r++) if (Number.isNaN(hanging.runs[r * RUN_COLUMNS + RUN_ROW.sagMm])) nLoose++
  expect(nLoose).toBeGreaterThan(0)
})

describe('steps', () => {
  test('a ball: half of t on the mean, most at its top', async () => {
    const subject = await subjectOf(figureOf(moved(sphere(5, 96), 0, 0, 5), 'ball'))
    const { steps } = await lookAtSurface(subject, kit)
    const [now] = steps.choices
    expect(now.layerHeightMm).toBe(0.1)
    const cloak = now.regions.find((r) => r.region === 'cloak and all else')
    expect(cloak?.meanUm).toBeGreaterThan(35)
    const { mesh } = subject.figure
    let top = 0
    for (let v = 0; v < mesh.positions.length / 3; v++) {
      if (mesh.positions[3 * v + 2] > mesh.positions[3 * top + 2]) top = v
    }
    expect(steps.vertexUm[top]).toBeGreaterThan(95)
    expect(steps.layerUm[50]).toBeLessThan(5)
    // The top shows, the waist does not.
    expect(steps.layerShownMm2[98]).toBeGreaterThan(0)
    expect(steps.layerShownMm2[50]).toBe(0)
  })

  test('thinner layers: half the steps, twice the layers and minutes; fewer show', async () => {
    const subject = await subjectOf(figureOf(cone(6, 4, 64), 'cone'))
    const { steps } = await lookAtSurface(subject, kit)
    const at = (h: number) => steps.choices.find((c) => Math.abs(c.layerHeightMm - h) < 1e-9)
    const [now, thin] = [at(0.1), at(0.05)]
    const mean = (c: typeof now): number => c?.regions.find((r) => r.region === 'cloak and all else')?.meanUm ?? 0
    expect(mean(thin)).toBeCloseTo(mean(now) / 2, 3)
    expect((thin?.nLayers ?? 0) / (now?.nLayers ?? 1)).toBeGreaterThan(1.9)
    expect((thin?.minutes ?? 0) / (now?.minutes ?? 1)).toBeGreaterThan(1.7)
    // One slope all over: a varying height brings nothing.
    expect(steps.varying.nLayers).toBeGreaterThanOrEqual((now?.nLayers ?? 0) - 1)
  })
})

describe('deviation at the vertices', () => {
  test('steps keep it within a layer', async () => {
    const subject = await subjectOf(figureOf(cone(6, 6, 96), 'cone'))
    const { vertexDeviationMm } = await lookAtSurface(subject, kit)
    for (const d of vertexDeviationMm.subarray(0)) expect(Math.abs(d)).toBeLessThan(0.12)
  })
  test('a wall that no bead fills is missing', async () => {
    const subject = await subjectOf(figureOf(together(box(4, 4, 3), moved(box(0.1, 3, 3), 6, 0, 0)), 'wall'))
    const lost = [
      {
        fromLayer: 0,
        toLayer: subject.layers.nLayers - 1,
        at: [6, 1.5, 1.5] as const,
        lengthMm: 3,
        widthMm: 0.1,
        volumeMm3: 0.9,
        kind: 'island' as const,
      },
    ]
    const look = await lookAtSurface({ ...subject, vanishing: lost }, kit)
    const { positions } = subject.figure.mesh
    for (let v = 0; v < positions.length / 3; v++) {
      const missing = positions[3 * v] > 5.5
      if (missing) expect(look.vertexDeviationMm[v]).toBeLessThan(-1)
      else expect(look.vertexDeviationMm[v]).toBeGreaterThan(-0.2)
    }
    expect(look.lost.nVanished).toBe(1)
  })
})

describe('predicted solid', () => {
  const bytesOf = async (figure: Figure): Promise<{ surface: PredictedSurface; subject: SurfaceSubject }> => {
    const subject = await subjectOf(figure)
    const look = await lookAtSurface(subject, kit)
    return { surface: await predictSurface(figure, subject.layers, look, recipe, kit), subject }
  }
  test('closed shells, near the sculpt, smaller by the shrinkage', async () => {
    const { surface, subject } = await bytesOf(gate())
    const { mesh, health } = prepareMesh(surface.mesh.positions, surface.mesh.triangles)
    expect(health.nOpenEdges).toBe(0)
    expect(mesh.nShells).toBeGreaterThanOrEqual(subject.layers.nLayers)
    expect(surface.mostMm).toBeLessThan(0.3)
    let x = 0
    // The first layer comes out farther, by its squeeze.
    for (let i = 0; i < mesh.positions.length; i += 3)
      if (mesh.positions[i + 2] > 0.2) x = Math.max(x, mesh.positions[i])
    // 10 mm less 0.24 %.
    expect(x).toBeCloseTo(9.976, 2)
    const sag = Math.min(...surface.deviationMm.filter((d) => !Number.isNaN(d)))
    expect(sag).toBeLessThan(0)
  })
  test('the beam is drawn hanging', async () => {
    const { surface } = await bytesOf(gate())
    let low = Infinity
    const { positions } = surface.mesh
    for (let i = 0; i < positions.length; i += 3)
      if (positions[i] > 3 && positions[i] < 7 && positions[i + 2] > 2) low = Math.min(low, positions[i + 2])
    expect(low).toBeLessThan(3.97)
    expect(low).toBeGreaterThan(3)
  })
  test('as files: STL is read back whole, PLY carries deviation and colour', async () => {
    const { surface } = await bytesOf(figureOf(box(4, 4, 1), 'plate'))
    const stl = await readSculpt(writePredicted(surface, 'stl'), { name: 'plate.stl' })
    expect(stl.ok && stl.value.health.nTriangles).toBe(surface.mesh.triangles.length / 3)
    const bytes = writePredicted(surface, 'ply')
    const head = new TextDecoder().decode(bytes.subarray(0, 400))
    expect(head).toContain('property float deviation')
    expect(head).toContain('property uchar red')
    const ply = await readSculpt(bytes, { name: 'plate.ply' })
    expect(ply.ok && ply.value.health.nTriangles).toBe(surface.mesh.triangles.length / 3)
    const at = head.indexOf('end_header\n') + 'end_header\n'.length
    const view = new DataView(bytes.buffer, bytes.byteOffset + at)
    expect(view.getFloat32(15, true)).toBe(surface.deviationMm[0])
  })
})
