// Hands: closed round a rod, and open with bent fingers.

import { blend, chain, type Field, limb, mirrored, type Point, slab, within } from './fields.ts'

/**
 * Hand closed round a rod of the given radius along local z; the wrist leaves towards +y, a little to +x.
 * A right hand when the rod's z points up; `left` mirrors it.
 */
export const grip = (rodRadius: number, left = false): Field => {
  const r = 0.37
  const reach = rodRadius + 0.78 * r
  const fingers: Field[] = []
  for (let i = 0; i < 4; i++) {
    const z = 0.98 - 0.66 * i
    const points: Point[] = []
    const radii: number[] = []
    for (let j = 0; j <= 6; j++) {
      const a = Math.PI * (0.28 - (1.3 * j) / 6)
      points.push([reach * Math.cos(a), reach * Math.sin(a), z - 0.05 * j])
      radii.push(j < 2 ? r + 0.04 : r - 0.012 * j)
    }
    fingers.push(chain(points, radii))
  }
  const palm = blend(
    0.3,
    slab([0.62, 1.0, -0.02], [0.48, 0.75, 1.28], 0.42),
    limb([0.45, 1.5, -0.1], [0.4, 2.6, -0.3], 0.72, 0.8),
  )
  const thumb = chain(
    [
      [0.2, 1.35, 0.75],
      [-0.65, 0.75, 1.0],
      [-reach, -0.05, 1.02],
      [-0.55, -0.85, 0.95],
    ],
    [0.52, 0.42, 0.4, 0.34],
  )
  const hand = within([0.1, 0.6, 0], 3, blend(0.16, blend(0.1, palm, ...fingers), thumb))
  return left ? mirrored(hand) : hand
}

/**
 * Hand with fingers along -z from a wrist at the origin, palm towards -y. `curl` is the bend of each joint, rad.
 * A right hand seen from its back (thumb to -x when the back faces +y); `left` mirrors it.
 */
export const openHand = (curl: number, left = false): Field => {
  const parts: Field[] = [slab([0, 0, -0.85], [1.05, 0.42, 0.95], 0.38), limb([0, 0, 0.5], [0, 0, -0.3], 0.75, 0.68)]
  for (let i = 0; i < 4; i++) {
    const x = -0.78 + 0.52 * i
    const lengths = [0.95, 0.72, 0.5].map((l) => l * [0.94, 1, 0.96, 0.8][i])
    const points: Point[] = [[x, 0, -1.55]]
    let a = 0.15
    for (const length of lengths) {
      a += curl * (1 + 0.08 * i)
      const [px, py, pz] = points[points.length - 1]
      points.push([px + 0.03 * (i - 1.5), py - length * Math.sin(a), pz - length * Math.cos(a)])
    }
    parts.push(chain(points, [0.36, 0.34, 0.32, 0.27]))
  }
  const thumb = chain(
    [
      [-0.75, -0.1, -0.35],
      [-1.3, -0.5, -1.0],
      [-1.2, -0.85, -1.75],
    ],
    [0.46, 0.4, 0.3],
  )
  const hand = within([0, -0.4, -1.2], 3.2, blend(0.14, blend(0.08, ...parts), thumb))
  return left ? mirrored(hand) : hand
}
