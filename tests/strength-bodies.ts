// Bodies for tests of strength: shafts on bases cut into layers, and prisms as cells of a grid with loads on their ends.

import type { Figure } from '../src/engine/figure/index.ts'
import { cutLayers, type LayerRelations, type LayerStack, relateLayers } from '../src/engine/sections/index.ts'
import { brickProduct, type CellMesh } from '../src/engine/strength/brick.ts'
import { cellMesh } from '../src/engine/strength/cell-mesh.ts'
import { fillGrid, type StrengthMaterial } from '../src/engine/strength/index.ts'
import type { Stiffness } from '../src/engine/strength/material.ts'
import { buildMultigrid, type Multigrid } from '../src/engine/strength/multigrid.ts'
import { loadPolygonKit } from '../src/pool/polygon-kit-node.ts'
import { figureOf } from './figure-by-hand.ts'
import { cylinder, moved, type Solid, together } from './solids.ts'
import { type Loop, stackByHand } from './stack-by-hand.ts'

/** Plain plastic with the same limits as the starting filament card. */
export const PLAIN: StrengthMaterial = {
  alongModulusMPa: 2680,
  acrossModulusMPa: 2400,
  poissonRatio: 0.36,
  alongStrengthMPa: 47.4,
  acrossStrengthMPa: 22.8,
  alongBreakStrain: 0.044,
  acrossBreakStrain: 0.021,
  densityGPerCm3: 1.24,
}

/** The same in all directions: E 2400, nu 0.36. */
export const EVEN: StrengthMaterial = {
  ...PLAIN,
  alongModulusMPa: 2400,
  alongStrengthMPa: 22.8,
  alongBreakStrain: 0.021,
}

/** Cylinder between two points. */
export const rod = (from: readonly number[], to: readonly number[], d: number, parts = 48): Solid => {
  const t = [0, 1, 2].map((c) => to[c] - from[c])
  const length = Math.hypot(...t)
  const [x, y, z] = t.map((v) => v / length)
  const side = Math.hypot(x, y)
  const a = side < 1e-9 ? [1, 0, 0] : [y / side, -x / side, 0]
  const b = [y * a[2] - z * a[1], z * a[0] - x * a[2], x * a[1] - y * a[0]]
  // A polygon of the circle's own area.
  const r = d / 2 / Math.sqrt((parts / (2 * Math.PI)) * Math.sin((2 * Math.PI) / parts))
  const { positions, triangles } = cylinder(r, length, parts)
  const out = positions.slice()
  for (let i = 0; i < out.length; i += 3)
    for (let c = 0; c < 3; c++)
      out[i + c] = from[c] + a[c] * positions[i] + b[c] * positions[i + 1] + [x, y, z][c] * positions[i + 2]
  return { positions: out, triangles }
}

/** A body with everything the quick look needs. */
export interface Bodied {
  readonly figure: Figure
  readonly stack: LayerStack
  readonly relations: LayerRelations
}

/** Rods on a round base of radius 12.5 and height 3 (its top at z = 3). */
export const onBase = async (rods: readonly Solid[], layerHeightMm = 0.1): Promise<Bodied> => {
  const kit = await loadPolygonKit()
  const plain = figureOf(together(cylinder(12.5, 3, 96), ...rods))
  const figure: Figure = {
    ...plain,
    soleMm: 3,
    base: { topMm: 3, radiusMm: 12.5, shape: 'round', reason: 'made so' },
  }
  const stack = await cutLayers(figure.mesh, figure.max[2], { layerHeightMm, firstLayerHeightMm: layerHeightMm }, kit)
  return { figure, stack, relations: await relateLayers(stack, { allowanceMm: 0.2 }, kit) }
}

/** An upright shaft of this diameter and free length on the base. */
export const shaftOnBase = (d: number, length: number, layerHeightMm = 0.1): Promise<Bodied> =>
  onBase([moved(rod([0, 0, 0], [0, 0, length + 2.5], d), 0, 0, 0.5)], layerHeightMm)

/** Upright prism of the given outline as cells, its foot held; nodes of its top. */
export interface PrismCells {
  readonly mesh: CellMesh
  readonly grid: Multigrid
  readonly top: readonly number[]
  /** Middle of the section in grid coordinates. */
  readonly middle: readonly [number, number]
}

/** Cells of a prism with side h, standing on held nodes. */
export const prismCells = async (
  loops: Loop[],
  length: number,
  h: number,
  kind: Stiffness,
  held: (x: number, y: number, z: number) => readonly [boolean, boolean, boolean] = (_x, _y, z) =>
    z === 0 ? [true, true, true] : [false, false, false],
): Promise<PrismCells> => {
  const stack = stackByHand(
    Array.from({ length: Math.round(length / h) }, () => [loops]),
    h,
  )
  const filled = await fillGrid(stack, h, null, null)
  const mesh = cellMesh(filled, 0, [kind])
  const isHeld = new Uint8Array(3 * mesh.nNodes)
  let highest = 0
  for (let n = 0; n < mesh.nNodes; n++) highest = Math.max(highest, mesh.nodeAt[3 * n + 2])
  const top: number[] = []
  for (let n = 0; n < mesh.nNodes; n++) {
    const [x, y, z] = [0, 1, 2].map((a) => mesh.nodeAt[3 * n + a])
    held(x, y, z).forEach((yes, a) => {
      if (yes) isHeld[3 * n + a] = 1
    })
    if (z === highest) top.push(n)
  }
  return { mesh, grid: await buildMultigrid(mesh, isHeld), top, middle: [filled.nx / 2, filled.ny / 2] }
}

/** Even traction over the top face: a quarter of each top cell's share at each of its nodes. Sums to the force given. */
export const overTop = (
  { mesh }: PrismCells,
  force: (x: number, y: number) => readonly [number, number, number],
): Float64Array => {
  const f = new Float64Array(3 * mesh.nNodes)
  let highest = 0
  for (let c = 0; c < mesh.nCells; c++) highest = Math.max(highest, mesh.cellAt[3 * c + 2])
  let area = 0
  for (let c = 0; c < mesh.nCells; c++) {
    if (mesh.cellAt[3 * c + 2] !== highest) continue
    area += mesh.share[c]
    const at = force(mesh.cellAt[3 * c] + 0.5, mesh.cellAt[3 * c + 1] + 0.5)
    for (const n of [mesh.cellNode[4 * c + 2], mesh.cellNode[4 * c + 3]])
      for (const m of [n, n + 1]) for (let a = 0; a < 3; a++) f[3 * m + a] += (mesh.share[c] * at[a]) / 4
  }
  return f.map((v) => v / area)
}

/** Forces that hold a movement: K u. */
export const forcesOf = (mesh: CellMesh, u: Float64Array): Float64Array => {
  const y = new Float64Array(u.length)
  brickProduct(mesh, u, y)
  return y
}
