// Prints made by hand for tests of reading: rings, posts and plates with shells, infill, caps and gap beads in known roles.

import type { BeadPlan } from '../src/engine/beads/index.ts'
import { type BeadSketch, beadPlanOf, type LayerSketch, squarePath } from './bead-plans.ts'

const circle = (x: number, y: number, r: number, n = 64, turn = 1): [number, number][] =>
  Array.from({ length: n + 1 }, (_, i) => {
    const a = (turn * 2 * Math.PI * (i % n)) / n
    return [x + r * Math.cos(a), y + r * Math.sin(a)]
  })

/** Shells of a square inwards from its outline. */
const squareShells = (x: number, y: number, side: number, n: number, w: number, pitch: number): BeadSketch[] =>
  Array.from({ length: n }, (_, k) => {
    const inset = w / 2 + k * pitch
    return {
      path: squarePath(x + inset, y + inset, side - 2 * inset),
      role: k === 0 ? 'outer shell' : 'inner shell',
      width: w,
      speed: k === 0 ? 22.5 : 45,
      retraction: k === 0 ? 5 : 0,
    }
  })

/** Straight lines along y over a square, each a bead. */
const lines = (
  x: number,
  y: number,
  side: number,
  spacing: number,
  w: number,
  role: 'cap' | 'infill',
): BeadSketch[] => {
  const beads: BeadSketch[] = []
  const n = Math.floor(side / spacing)
  for (let k = 0; k <= n; k++) {
    const at = x + (side - n * spacing) / 2 + k * spacing
    const ends: [number, number][] = [
      [at, y],
      [at, y + side],
    ]
    beads.push({ path: k % 2 === 0 ? ends : ends.reverse(), role, width: w, speed: 45 })
  }
  return beads
}

/**
 * A block of 12 mm with three shells, a cap of two layers, infill above, beside it a tube of two shells each way and a thin wall of one gap
 * bead between two shells; two priming loops round all on the first layer.
 */
export const blockAndTube = (flowShare = 1): BeadPlan => {
  const layers: LayerSketch[] = []
  for (let l = 0; l < 6; l++) {
    const height = l === 0 ? 0.2 : 0.1
    const w = 0.4
    const pitch = w - height * (1 - Math.PI / 4)
    const inner = w / 2 + 2 * pitch + w / 2 + 0.05
    const beads: BeadSketch[] = []
    if (l === 0)
      for (const gap of [4, 3.6])
        beads.push({ path: squarePath(-gap, -gap, 30 + 2 * gap), role: 'priming loop', width: w, speed: 20 })
    beads.push(...squareShells(0, 0, 12, 3, w, pitch))
    beads.push(...lines(inner, inner, 12 - 2 * inner, l < 2 ? pitch : 1.2, w, l < 2 ? 'cap' : 'infill'))
    // Tube: outline 6, bore 2; shells run inwards from both faces.
    const tube: BeadSketch[] = [
      { path: circle(22, 6, 6 - w / 2), role: 'outer shell', speed: 22.5, retraction: 5 },
      { path: circle(22, 6, 6 - w / 2 - pitch), role: 'inner shell' },
      { path: circle(22, 6, 2 + w / 2 + pitch, 48, -1), role: 'inner shell' },
      { path: circle(22, 6, 2 + w / 2, 48, -1), role: 'outer shell', speed: 22.5 },
    ]
    beads.push(...tube)
    // Thin wall: outline 10 x 1.1; one shell, and a gap bead of varying width in its middle.
    const wall: [number, number][] = [
      [2.2, 20.2],
      [11.8, 20.2],
      [11.8, 20.9],
      [2.2, 20.9],
      [2.2, 20.2],
    ]
    beads.push({ path: wall, role: 'outer shell', speed: 22.5, retraction: 5, lift: 0.4 })
    beads.push({
      path: Array.from({ length: 9 }, (_, k): [number, number] => [2.6 + 1.1 * k, 20.55]),
      width: Array.from({ length: 9 }, (_, k) => 0.3 + 0.05 * Math.sin(k / 2)),
      role: 'gap bead',
      dwell: l === 3 ? 0.25 : 0,
    })
    layers.push({
      height,
      beads: beads.map((bead) => ({ ...bead, flowShare })),
      fanShare: l === 0 ? 0 : 1,
      nozzleC: l === 0 ? 205 : 195,
      bedC: 60,
    })
  }
  return beadPlanOf(layers)
}
