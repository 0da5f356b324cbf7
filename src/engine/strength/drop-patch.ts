// The patch of nodes through which a contact acts on a body of cells, how much plastic stands behind it, and how it gives.

import type { CellMesh } from './brick.ts'
import type { Triple } from './drop-places.ts'
import { balance, type FreeBody, type FreeSolver } from './modes-body.ts'
import type { FreeModes } from './modes-free.ts'

/** Nodes within this of a contact share its force, mm. */
export const PATCH_MM = 0.8

/** Nodes and their shares of a contact's force. */
export interface Patch {
  readonly nodes: Int32Array
  readonly weight: Float64Array
}

/** Nodes near a place, each with the share of its mass; the nearest one when none is near. */
export const patchAt = ({ mesh, mass }: FreeBody, at: Triple): Patch => {
  const { nNodes, nodeAt, origin, cellMm } = mesh
  const nodes: number[] = []
  let total = 0
  let nearest = 0
  let best = Infinity
  for (let n = 0; n < nNodes; n++) {
    const x = origin[0] + cellMm * nodeAt[3 * n] - at[0]
    const y = origin[1] + cellMm * nodeAt[3 * n + 1] - at[1]
    const z = origin[2] + cellMm * nodeAt[3 * n + 2] - at[2]
    const d = x * x + y * y + z * z
    if (d < best) {
      best = d
      nearest = n
    }
    if (d > PATCH_MM * PATCH_MM) continue
    nodes.push(n)
    total += mass[3 * n]
  }
  if (nodes.length === 0) return { nodes: Int32Array.of(nearest), weight: Float64Array.of(1) }
  return { nodes: Int32Array.from(nodes), weight: Float64Array.from(nodes, (n) => mass[3 * n] / total) }
}

/** Mean movement of a patch, xyz. */
export const patchMove = ({ nodes, weight }: Patch, u: Float64Array): [number, number, number] => {
  const out: [number, number, number] = [0, 0, 0]
  for (let i = 0; i < nodes.length; i++) for (let a = 0; a < 3; a++) out[a] += weight[i] * u[3 * nodes[i] + a]
  return out
}

/** Adds a force on a patch to nodal forces. */
export const pushPatch = ({ nodes, weight }: Patch, force: Triple, f: Float64Array): void => {
  for (let i = 0; i < nodes.length; i++) for (let a = 0; a < 3; a++) f[3 * nodes[i] + a] += weight[i] * force[a]
}

/** How deep a slab of plastic is looked at for the radius of a contact, mm; and how far round it. */
const SLAB_MM = 0.5
const ROUND_MM = 2

/**
 * Radius of curvature of a place that touches a plane: that of the ball whose cap of half a millimetre holds as much plastic (cap volume
 * pi R s2 for a thin cap). Edges come out small, flat faces large; between 0.2 and 50 mm.
 */
export const contactRadius = (mesh: CellMesh, at: Triple, down: Triple): number => {
  const { nCells, cellAt, origin, cellMm, share } = mesh
  // A cube seen along the direction reaches this far to both sides of its middle.
  const half = (cellMm / 2) * (Math.abs(down[0]) + Math.abs(down[1]) + Math.abs(down[2]))
  let volume = 0
  for (let c = 0; c < nCells; c++) {
    const x = origin[0] + cellMm * (cellAt[3 * c] + 0.5) - at[0]
    const y = origin[1] + cellMm * (cellAt[3 * c + 1] + 0.5) - at[1]
    const z = origin[2] + cellMm * (cellAt[3 * c + 2] + 0.5) - at[2]
    if (x * x + y * y + z * z > ROUND_MM * ROUND_MM) continue
    const depth = -(x * down[0] + y * down[1] + z * down[2])
    if (depth - half > SLAB_MM) continue
    volume += share[c] * cellMm ** 3 * Math.min(1, (SLAB_MM - depth + half) / (2 * half))
  }
  return Math.min(50, Math.max(0.2, volume / (Math.PI * SLAB_MM * SLAB_MM)))
}

/** What a push at a contact does beyond the modes. */
export interface Correction {
  /** Displacement for 1 N that the modes leave out, mm, xyz per node. */
  readonly move: Float64Array
  /** Give along the push, mm/N, less what the contact law counts itself. */
  readonly giveMmPerN: number
}

/**
 * Static correction for pushes against the direction of fall, one per contact, solved together.
 * The half space under the patch is in the contact law already, so the mean sinking of a disc under even pressure, 0.54 (1 - nu2) / E a
 * (Johnson, Contact Mechanics, 3.4), is taken off.
 */
export const corrections = async (
  body: FreeBody,
  modes: FreeModes,
  pushes: readonly { readonly patch: Patch; readonly down: Triple }[],
  modulusMPa: number,
  poisson: number,
  solve: FreeSolver,
  tolerance: number,
): Promise<Correction[]> => {
  const loads = pushes.map(({ patch, down }) => {
    const f = new Float64Array(3 * body.mesh.nNodes)
    pushPatch(patch, [-down[0], -down[1], -down[2]], f)
    balance(body, f)
    return f
  })
  const moves = await solve(loads, tolerance)
  return moves.map((move, i) => {
    const { patch, down } = pushes[i]
    for (let k = 0; k < modes.nModes; k++) {
      const [x, y, z] = patchMove(patch, modes.shapes[k])
      const amount = -(x * down[0] + y * down[1] + z * down[2]) / modes.omega[k] ** 2
      const shape = modes.shapes[k]
      for (let j = 0; j < move.length; j++) move[j] -= amount * shape[j]
    }
    const [x, y, z] = patchMove(patch, move)
    const halfSpace = (0.54 * (1 - poisson * poisson)) / (modulusMPa * PATCH_MM)
    return { move, giveMmPerN: Math.max(0, -(x * down[0] + y * down[1] + z * down[2]) - halfSpace) }
  })
}
