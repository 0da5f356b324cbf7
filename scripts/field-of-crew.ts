// One of the crew as cubes, all solid and of one plastic, ready to be solved: for the comparison with a general finite-element program.

import { readFileSync } from 'node:fs'
import { standUp } from '../src/engine/figure/index.ts'
import { readSculpt } from '../src/engine/mesh/index.ts'
import { cutLayers } from '../src/engine/sections/index.ts'
import { cellMesh } from '../src/engine/strength/cell-mesh.ts'
import { cellStress } from '../src/engine/strength/field-stress.ts'
import { fillGrid } from '../src/engine/strength/index.ts'
import { isotropic } from '../src/engine/strength/material.ts'
import { buildMultigrid } from '../src/engine/strength/multigrid.ts'
import { laneSolver } from '../src/engine/strength/solve-lanes.ts'
import { loadPolygonKit } from '../src/pool/polygon-kit-node.ts'
import { startWasm } from '../src/pool/start-wasm.ts'

const MODULUS_MPA = 2400
const POISSON = 0.36

export const fieldOfCrew = async (path: string, cellMm: number) => {
  const kit = await loadPolygonKit()
  const read = await readSculpt(new Uint8Array(readFileSync(path)), { name: 'figure' })
  if (!read.ok) throw new Error(read.issues[0].message)
  const stood = standUp(read.value, { scale: { by: 'unit', unit: 'mm' }, unit: 'mm' })
  if (!stood.ok) throw new Error(stood.issues[0].message)
  const { mesh: surface, max } = stood.value
  const stack = await cutLayers(surface, max[2], { layerHeightMm: 0.1, firstLayerHeightMm: 0.2 }, kit)
  const started = performance.now()
  const filled = await fillGrid(stack, cellMm, null, null)
  // A general program knows no cells filled in part: those at least half full are whole, the others are left out.
  const fill = filled.fill.map((f) => (f >= 0.5 ? 1 : 0))
  const mesh = cellMesh({ ...filled, fill }, 2, [isotropic(MODULUS_MPA, POISSON)])
  const held = new Uint8Array(3 * mesh.nNodes)
  let lowest = Number.POSITIVE_INFINITY
  let highest = 0
  for (let n = 0; n < mesh.nNodes; n++) {
    lowest = Math.min(lowest, mesh.nodeAt[3 * n + 2])
    if (mesh.nodeAt[3 * n + 2] > mesh.nodeAt[3 * highest + 2]) highest = n
  }
  for (let n = 0; n < mesh.nNodes; n++) if (mesh.nodeAt[3 * n + 2] === lowest) held.fill(1, 3 * n, 3 * n + 3)
  const lanes = await laneSolver(await buildMultigrid(mesh, held), startWasm)
  if (!lanes) throw new Error('this Node has no WebAssembly with vectors')
  const setUpS = (performance.now() - started) / 1000
  const loads = [
    { name: '1 N sideways at the highest node', direction: 0 },
    { name: '1 N backwards at the highest node', direction: 1 },
    { name: '1 N upwards at the highest node', direction: 2 },
  ]
  const force = (k: number): Float64Array => {
    const f = new Float64Array(3 * mesh.nNodes)
    f[3 * highest + loads[k].direction] = 1
    return f
  }
  const solve = async () => {
    const from = performance.now()
    const solved = await lanes.solve(
      loads.map((_, k) => force(k)),
      1e-8,
    )
    return {
      stress: cellStress(mesh, solved[0].move).middle,
      moves: solved.map(({ move }) => move),
      iterations: Math.max(...solved.map(({ iterations }) => iterations)),
      solveS: (performance.now() - from) / 1000,
    }
  }
  return { mesh, loads, force, solve, setUpS, modulusMPa: MODULUS_MPA, poissonRatio: POISSON }
}
