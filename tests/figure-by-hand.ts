// A figure made of test solids, and all room results for it, without files.

import { EXAMINE_DEFAULTS, type ExamineSettings, examineFigure } from '../src/engine/examine/index.ts'
import type { Figure } from '../src/engine/figure/index.ts'
import type { Finding, RoomResults } from '../src/engine/findings/index.ts'
import type { PolygonKit } from '../src/engine/kernel/index.ts'
import { massOf, prepareMesh } from '../src/engine/mesh/index.ts'
import type { Solid } from './solids.ts'

/** The solid as a figure in mm, standing where it is drawn (its lowest point at z = 0). */
export const figureOf = ({ positions, triangles }: Solid, name = 'test piece'): Figure => {
  const { mesh, health } = prepareMesh(Float64Array.from(positions), Uint32Array.from(triangles))
  const min: [number, number, number] = [Infinity, Infinity, Infinity]
  const max: [number, number, number] = [-Infinity, -Infinity, -Infinity]
  for (let i = 0; i < mesh.positions.length; i++) {
    min[i % 3] = Math.min(min[i % 3], mesh.positions[i])
    max[i % 3] = Math.max(max[i % 3], mesh.positions[i])
  }
  return {
    kind: 'figure',
    name,
    mesh,
    health,
    mass: massOf(mesh),
    scale: { value: 1, basis: 'set', reason: 'One file unit is 1 mm, as set.' },
    stance: { kind: 'stance', aboutX: 0, aboutY: 0, aboutZ: 0 },
    eyeLine: { value: max[2] * 0.936, basis: 'guessed', reason: 'Taken at 0.936 of the height.' },
    soleMm: 0,
    base: null,
    min,
    max,
    oneTo: 56,
  }
}

/** Results and findings of a solid with some settings changed. */
export const examinedSolid = async (
  solid: Solid,
  kit: PolygonKit,
  change: Partial<ExamineSettings> = {},
): Promise<{ results: RoomResults; findings: readonly Finding[] }> =>
  examineFigure(figureOf(solid), { ...EXAMINE_DEFAULTS, firstLayerHeightMm: 0.1, ...change }, kit)
