// A figure of more than a million triangles: a member of the crew with every triangle cut in four, twice over.

import { readFileSync } from 'node:fs'
import { readSculpt, writePly } from '../src/engine/mesh/index.ts'

/** Every triangle cut in four at the middles of its edges; the surface stays where it is. */
const cutInFour = (positions: Float64Array, triangles: Uint32Array) => {
  const places: number[] = Array.from(positions)
  const out = new Uint32Array(4 * triangles.length)
  const middles = new Map<number, number>()
  const nFirst = positions.length / 3
  const middle = (a: number, b: number): number => {
    const key = Math.min(a, b) * nFirst + Math.max(a, b)
    const known = middles.get(key)
    if (known !== undefined) return known
    const made = places.length / 3
    for (let axis = 0; axis < 3; axis++) places.push((positions[3 * a + axis] + positions[3 * b + axis]) / 2)
    middles.set(key, made)
    return made
  }
  for (let t = 0; t < triangles.length; t += 3) {
    const [a, b, c] = [triangles[t], triangles[t + 1], triangles[t + 2]]
    const [ab, bc, ca] = [middle(a, b), middle(b, c), middle(c, a)]
    out.set([a, ab, ca, ab, b, bc, ca, bc, c, ab, bc, ca], 4 * t)
  }
  return { positions: Float64Array.from(places), triangles: out }
}

/** The keeper as a PLY file of 1.36 million triangles. @param file the built-in figure as it was built */
export const largeFigure = async (file = 'dist/crew/keeper.ply'): Promise<Uint8Array> => {
  const read = await readSculpt(new Uint8Array(readFileSync(file)), { name: 'keeper' })
  if (!read.ok) throw new Error('the built-in figure could not be read')
  const { positions, triangles } = read.value.mesh
  const once = cutInFour(positions, triangles)
  return writePly(cutInFour(once.positions, once.triangles))
}
