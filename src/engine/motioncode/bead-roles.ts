// Roles of the beads of one layer from geometry alone: nesting of closed beads, what runs beside open ones, how widths vary.

import { type BeadRole, roleIndex } from '../beads/index.ts'
import { median } from './bead-layers.ts'
import {
  distanceTo,
  isInside,
  measureLoop,
  nestingOf,
  PieceGrid,
  type Shape,
  samplesOf,
  shapeOf,
} from './layer-shapes.ts'

/** The layer to look at; beads are numbered from `first` on. */
export interface LayerToRole {
  readonly points: Float64Array
  readonly pointWidth: Float32Array
  readonly beadStart: Uint32Array
  readonly closed: Uint8Array
  readonly speed: Float32Array
  readonly width: Float32Array
  readonly first: number
  readonly last: number
}

/** Role and how sure it is (0-1), by bead of the layer. */
export interface RoledLayer {
  readonly role: Uint8Array
  readonly sure: Float32Array
}

/** Work spent on nesting one layer, in shapes times points, so that a hostile file cannot make it quadratic; the rest stays unknown. */
const MOST_NESTING = 300_000_000
/** Neighbours within this many bead widths touch. */
const TOUCHING = 1.6

/** An inner closed bead whose width differs by this share from that of the outer shells fills a gap. */
const ODD_WIDTH = 0.12

const roleOf = (role: BeadRole): number => roleIndex(role)

/** Share of the child's samples that lie within a bead's reach of the other loop. */
const nearShare = (child: Shape, other: Shape, reach: number): number => {
  const samples = samplesOf(child, 32)
  let near = 0
  for (let i = 0; i < samples.length; i += 2) if (distanceTo(other, samples[i], samples[i + 1]) <= reach) near++
  return near / (samples.length / 2)
}

/** How much widths differ along a bead: standard deviation over mean. */
const widthSpread = (layer: LayerToRole, bead: number): number => {
  const from = layer.beadStart[bead]
  const to = layer.beadStart[bead + 1]
  let sum = 0
  let sum2 = 0
  for (let i = from; i < to; i++) {
    sum += layer.pointWidth[i]
    sum2 += layer.pointWidth[i] ** 2
  }
  const mean = sum / (to - from)
  return mean > 0 ? Math.sqrt(Math.max(0, sum2 / (to - from) - mean * mean)) / mean : 0
}

/** Closed beads by nesting. Outside a loop that nothing touches lies air; what touches a loop from inside is its next shell. */
const roleLoops = (
  layer: LayerToRole,
  loops: readonly number[],
  shapes: readonly Shape[],
  openMiddles: readonly [number, number][],
  put: (bead: number, role: BeadRole, sure: number) => void,
): void => {
  const parent = nestingOf(shapes)
  const children: number[][] = loops.map(() => [])
  for (let i = 0; i < loops.length; i++) if (parent[i] >= 0) children[parent[i]].push(i)
  const holdsOpen = (i: number): boolean =>
    openMiddles.some(([x, y]) => isInside(shapes[i], x, y) && !children[i].some((c) => isInside(shapes[c], x, y)))
  const touches = (child: number, other: number): boolean => {
    const reach = (TOUCHING * (layer.width[loops[child]] + layer.width[loops[other]])) / 2
    return nearShare(shapes[child], shapes[other], reach) >= 0.6
  }
  const sameSpeed = (a: number, b: number): boolean =>
    Math.abs(layer.speed[loops[a]] - layer.speed[loops[b]]) <= 0.02 * layer.speed[loops[b]]

  // A list instead of recursion: a hostile file nests thousands deep.
  const waiting: { i: number; root: number; depth: number; aroundHole: boolean }[] = []
  const fromOutside = (i: number, root: number, depth: number) => waiting.push({ i, root, depth, aroundHole: false })
  const aroundHole = (i: number) => waiting.push({ i, root: i, depth: 0, aroundHole: true })
  for (let i = 0; i < loops.length; i++) if (parent[i] < 0) fromOutside(i, i, 0)
  for (let task = waiting.pop(); task; task = waiting.pop()) {
    const { i, root, depth } = task
    const touching = children[i].map((child) => touches(child, i))
    const isTouched = touching.includes(true)
    if (task.aroundHole) {
      // One of the shells round a hole, met from the solid inwards: the last of them faces air.
      if (isTouched) put(loops[i], 'inner shell', 0.85)
      else put(loops[i], 'outer shell', holdsOpen(i) ? 0.5 : 0.85)
      children[i].forEach((child, k) => {
        if (touching[k]) aroundHole(child)
        else fromOutside(child, child, 0)
      })
      continue
    }
    // Shell number `depth` of a solid, met from outside; `root` is its outer shell. What lies apart inside goes round a hole.
    put(loops[i], depth === 0 ? 'outer shell' : 'inner shell', depth === 0 ? 0.95 : 0.9)
    children[i].forEach((child, k) => {
      if (touching[k]) fromOutside(child, root, depth + 1)
      else aroundHole(child)
    })
    if (children[i].length > 0 || depth === 0 || holdsOpen(i)) continue
    // Innermost shell with nothing inside: the solid's middle, or a hole whose own outer shell this is.
    const { area, length } = measureLoop(shapes[i])
    const clear = (2 * Math.abs(area)) / length - layer.width[loops[i]] / 2
    if (clear <= 0.5 * layer.width[loops[i]]) continue
    const rootStandsOut = !sameSpeed(root, children[root][0] ?? root)
    if (rootStandsOut) put(loops[i], sameSpeed(i, root) ? 'outer shell' : 'inner shell', 0.85)
    else put(loops[i], depth % 2 === 1 && depth >= 3 ? 'outer shell' : 'inner shell', 0.5)
  }
}

/** Roles of one layer. Priming loops and props are told apart later, over several layers. */
export const roleLayer = (layer: LayerToRole): RoledLayer => {
  const { first, last, beadStart, points } = layer
  const role = new Uint8Array(last - first).fill(roleOf('unknown'))
  const sure = new Float32Array(last - first)
  const put = (bead: number, name: BeadRole, share: number): void => {
    role[bead - first] = roleOf(name)
    sure[bead - first] = share
  }
  const loops: number[] = []
  const open: number[] = []
  for (let b = first; b < last; b++) {
    if (beadStart[b + 1] - beadStart[b] === 1) put(b, 'point deposit', 0.7)
    else if (layer.closed[b] === 1) loops.push(b)
    else open.push(b)
  }
  const shapeOfBead = (b: number): Shape => shapeOf(points, beadStart[b], beadStart[b + 1])
  const shapes = loops.map(shapeOfBead)
  const openShapes = open.map(shapeOfBead)
  const openMiddles = openShapes.map((shape): [number, number] => {
    const middle = shape.from + ((shape.to - shape.from - 1) >> 1)
    return [(points[3 * middle] + points[3 * middle + 3]) / 2, (points[3 * middle + 1] + points[3 * middle + 4]) / 2]
  })
  const loopPoints = shapes.reduce((sum, shape) => sum + shape.to - shape.from, 0)
  const nested = (loops.length + open.length) * loopPoints <= MOST_NESTING
  if (nested) roleLoops(layer, loops, shapes, openMiddles, put)
  const shellWidth = median(loops.filter((b) => role[b - first] === roleOf('outer shell')).map((b) => layer.width[b]))
  for (const b of loops)
    if (role[b - first] === roleOf('inner shell')) {
      const odd = Math.abs(layer.width[b] - shellWidth) > ODD_WIDTH * shellWidth
      if (odd || widthSpread(layer, b) > 0.03) put(b, 'gap bead', 0.7)
    }
  if (open.length === 0) return { role, sure }

  const usual = median(Array.from({ length: last - first }, (_, k) => layer.width[first + k]))
  const lines = new PieceGrid(Math.max(0.2, 3 * usual))
  const shells = new PieceGrid(Math.max(0.2, 3 * usual))
  for (const shape of openShapes) lines.add(shape)
  for (const shape of shapes) shells.add(shape)
  open.forEach((b, k) => {
    const enclosed = !nested || shapes.some((shape) => isInside(shape, ...openMiddles[k]))
    const spacing: number[] = []
    let walled = 0
    const pieces = longestPieces(openShapes[k], 8)
    for (const i of pieces) {
      const dx = points[3 * i + 3] - points[3 * i]
      const dy = points[3 * i + 4] - points[3 * i + 1]
      const size = Math.hypot(dx, dy)
      const at: [number, number, number, number, number] = [
        (points[3 * i] + points[3 * i + 3]) / 2,
        (points[3 * i + 1] + points[3 * i + 4]) / 2,
        dx / size,
        dy / size,
        i,
      ]
      const beside = lines.alongside(...at)
      const wall = shells.alongside(...at)
      spacing.push(Math.min(beside.left, beside.right))
      if (wall.left < TOUCHING * usual && wall.right < TOUCHING * usual) walled++
    }
    const between = median(spacing)
    const spread = widthSpread(layer, b)
    if (spread > 0.03) put(b, 'gap bead', enclosed ? 0.85 : 0.7)
    else if (pieces.length > 0 && walled > 0.6 * pieces.length) put(b, 'gap bead', 0.7)
    else if (!enclosed) put(b, between < 4 * usual ? 'prop' : 'gap bead', 0.5)
    else if (between <= 1.3 * usual) put(b, 'cap', 0.8)
    else put(b, 'infill', between === Number.POSITIVE_INFINITY ? 0.6 : 0.85)
  })
  return { role, sure }
}

/** Indices of the longest pieces of a path, at most n. */
const longestPieces = (shape: Shape, n: number): number[] => {
  const { points, from, to } = shape
  const found: { i: number; size: number }[] = []
  for (let i = from; i + 1 < to; i++) {
    const size = Math.hypot(points[3 * i + 3] - points[3 * i], points[3 * i + 4] - points[3 * i + 1])
    if (size > 0 && (found.length < n || size > found[found.length - 1].size)) {
      found.push({ i, size })
      found.sort((a, b) => b.size - a.size)
      if (found.length > n) found.pop()
    }
  }
  return found.map(({ i }) => i)
}
