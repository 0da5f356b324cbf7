// Which part of the surface is the face, the cloak, the top of the base, an underside.
//
// The face lies around the eye line, on the front of the island that is the head there. Body measures, from memory: the head is 1/7.5 of
// the stature, the eye line at its middle and at 0.936 of the stature; figures have heads up to a quarter larger. The figure looks
// towards -y, turned by its stance about z. Limits: upright figures only; a mask or a visor counts as face.

import type { Figure } from '../figure/index.ts'
import type { LayerStack } from '../sections/index.ts'
import { SURFACE_REGIONS, type SurfaceRegions } from './types.ts'

const [FACE, REST, BASE_TOP, BASE_SIDE, UNDERSIDE, BED] = SURFACE_REGIONS.map((_, i) => i)
/** Half of a head as a share of sole to eye line, a quarter larger than life. */
const HALF_HEAD = (0.5 * 1.25) / (7.5 * 0.936)
/** Forehead above the eye line, as a share of half a head. */
const FOREHEAD = 0.6
/** Lean at which a figure still counts as upright, cos of 5 degrees. */
const UPRIGHT_COS = Math.cos((5 * Math.PI) / 180)
/** Faces below this z component look down: an underside. */
const DOWN = -Math.SQRT1_2
const UP = 0.94

/** Where an upright figure looks, xy; null when it does not stand. */
export const frontOf = ({ stance }: Figure): readonly [number, number] | null => {
  const { aboutX, aboutY, aboutZ } = stance
  // Sculpts are modelled with z up, or with y up and turned about x.
  const stands = Math.cos(aboutY) * Math.max(Math.cos(aboutX), Math.sin(aboutX)) >= UPRIGHT_COS
  return stands ? [Math.sin(aboutZ), -Math.cos(aboutZ)] : null
}

/** Box of the head at the eye line, mm: x0, y0, x1, y1; null when there is nothing. */
const headBox = (layers: LayerStack, eyeMm: number): readonly [number, number, number, number] | null => {
  let layer = 0
  while (layer + 1 < layers.nLayers && layers.faceZ[layer + 1] <= eyeMm) layer++
  let best = -Infinity
  let box: [number, number, number, number] | null = null
  for (let i = layers.islandStart[layer]; i < layers.islandStart[layer + 1]; i++) {
    const loop = layers.islandLoop[i]
    let [x0, y0, x1, y1] = [Infinity, Infinity, -Infinity, -Infinity]
    for (let p = layers.loopStart[loop]; p < layers.loopStart[loop + 1]; p++) {
      const x = layers.points[2 * p]
      const y = layers.points[2 * p + 1]
      if (x < x0) x0 = x
      if (x > x1) x1 = x
      if (y < y0) y0 = y
      if (y > y1) y1 = y
    }
    // A lamp or a hand may be held up beside the head: what is large and near the axis wins.
    const aside = Math.hypot((x0 + x1) / 2, (y0 + y1) / 2) / Math.max(1, eyeMm)
    const worth = layers.islandArea[i] / (1 + (6 * aside) ** 2)
    if (worth > best) {
      best = worth
      box = [x0, y0, x1, y1]
    }
  }
  return box
}

/** Region of every triangle. @param normals unit normals per triangle, xyz */
export const findRegions = (figure: Figure, layers: LayerStack, normals: Float32Array): SurfaceRegions => {
  const { mesh, base, soleMm, eyeLine } = figure
  const { positions, triangles } = mesh
  const n = triangles.length / 3
  const ofTriangle = new Uint8Array(n)
  const front = frontOf(figure)
  const half = HALF_HEAD * (eyeLine.value - soleMm)
  const box = front ? headBox(layers, eyeLine.value) : null
  const fromMm = eyeLine.value - half
  const toMm = eyeLine.value + FOREHEAD * half
  const margin = 0.15 * half
  const middle = box ? [(box[0] + box[2]) / 2, (box[1] + box[3]) / 2] : [0, 0]
  const deep = box && front ? Math.abs(front[0] * (box[2] - box[0])) + Math.abs(front[1] * (box[3] - box[1])) : 0
  const first = layers.faceZ[1] ?? 0.2
  for (let t = 0; t < n; t++) {
    const a = 3 * triangles[3 * t]
    const b = 3 * triangles[3 * t + 1]
    const c = 3 * triangles[3 * t + 2]
    const z = (positions[a + 2] + positions[b + 2] + positions[c + 2]) / 3
    const nz = normals[3 * t + 2]
    if (nz < -0.99 && z < first / 2) ofTriangle[t] = BED
    else if (nz < DOWN) ofTriangle[t] = UNDERSIDE
    else if (base && z <= base.topMm + 0.25 && nz > UP && z > base.topMm - 0.6) ofTriangle[t] = BASE_TOP
    else if (base && z < base.topMm) ofTriangle[t] = BASE_SIDE
    else {
      ofTriangle[t] = REST
      if (!front || !box || z < fromMm || z > toMm) continue
      const x = (positions[a] + positions[b] + positions[c]) / 3
      const y = (positions[a + 1] + positions[b + 1] + positions[c + 1]) / 3
      if (x < box[0] - margin || x > box[2] + margin || y < box[1] - margin || y > box[3] + margin) continue
      if ((x - middle[0]) * front[0] + (y - middle[1]) * front[1] < -0.1 * deep) continue
      if (normals[3 * t] * front[0] + normals[3 * t + 1] * front[1] > 0) ofTriangle[t] = FACE
    }
  }
  let hasFace = false
  for (let t = 0; t < n && !hasFace; t++) hasFace = ofTriangle[t] === FACE
  const reason = `The face lies between ${fromMm.toFixed(1)} and ${toMm.toFixed(1)} mm, around the eye line at ${eyeLine.value.toFixed(1)} mm (body measures, from memory), on the side the figure looks to.`
  return { ofTriangle, face: hasFace && box ? { fromMm, toMm, box, reason } : null }
}
