// Volume laid and room, on a grid per layer: the ground on which the balance is struck.
//
// A bead fills a strip one pitch wide and one layer high (its stadium has just that area), so beads one pitch apart leave neither
// void nor surplus. Room is the outline's area times the height, less the rounded flank along the outline. Both are held as
// heights (mm3 per cell area) in cells of half a bead.

import { type BeadPlan, pitchOf, roleIndex, roundingMm } from '../beads/index.ts'
import { breathe, type Task } from '../kernel/index.ts'
import type { LayerStack } from '../sections/index.ts'
import { smooth } from './smooth.ts'
import { SURPLUS_CAUSES } from './types.ts'

/** Kinds of volume told apart in a cell. */
export const LAID_KINDS = { shell: 0, gap: 1, solidLine: 2, solidShort: 3, sparseLine: 4, sparseShort: 5 } as const
export const N_KINDS = 6
/** Kinds below this one lie side by side; the others leave room on purpose. */
export const N_SOLID_KINDS = 4
/** Lines shorter than this many widths are short pieces. */
const SHORT_WIDTHS = 4

export interface LayerField {
  /** First cell of the layer's own part of the grid, and its size. */
  readonly ix: number
  readonly iy: number
  readonly nx: number
  readonly ny: number
  /** Room as height, mm; length nx*ny. */
  readonly room: Float32Array
  readonly heightMm: number
  /** Room and nominal volume (flow 1, true diameter) of the whole layer, mm3. */
  readonly roomMm3: number
  readonly nominalMm3: number
  /** Both as heights, spread over the reach to which plastic yields. */
  readonly roomSpread: Float32Array
  readonly nominalSpread: Float32Array
  /** 1 where beads should lie side by side (all but the open room round sparse lines); room and nominal volume of those places only, spread. */
  readonly solid: Uint8Array
  readonly solidRoomSpread: Float32Array
  readonly solidNominalSpread: Float32Array
  /** Index into SURPLUS_CAUSES: how the beads meet there. */
  readonly meeting: Uint8Array
}

/** A layer's part of the grid while volumes are added: one array of heights per kind. */
interface LayerGrid {
  readonly ix: number
  readonly iy: number
  readonly nx: number
  readonly ny: number
  readonly heightMm: number
  readonly room: Float32Array
  readonly laid: readonly Float32Array[]
}

export interface LaidField {
  readonly cellMm: number
  readonly x0: number
  readonly y0: number
  readonly nx: number
  readonly ny: number
  readonly layers: readonly LayerField[]
}

const OUTSIDE = new Set([roleIndex('prop'), roleIndex('priming loop')])

/** Adds a value to the four cells around a point, by nearness, so that a uniform strip gives a uniform field. */
const spread = (to: Float32Array, nx: number, ny: number, u: number, v: number, value: number): void => {
  const i = Math.floor(u - 0.5)
  const j = Math.floor(v - 0.5)
  const fu = u - 0.5 - i
  const fv = v - 0.5 - j
  if (i < 0 || j < 0 || i + 1 >= nx || j + 1 >= ny) return
  const k = j * nx + i
  to[k] += value * (1 - fu) * (1 - fv)
  to[k + 1] += value * fu * (1 - fv)
  to[k + nx] += value * (1 - fu) * fv
  to[k + nx + 1] += value * fu * fv
}

/** Room of a layer: area by scan lines within each row of cells, less the rounded flank along every edge. */
const addRoom = (stack: LayerStack, layer: number, field: LayerGrid, grid: LaidGrid): void => {
  const { points, loopStart, layerStart } = stack
  const { room, nx, ny, heightMm } = field
  const g = grid.cellMm
  const left = grid.x0 + field.ix * g
  const low = grid.y0 + field.iy * g
  const scans = 8
  const rows: number[][] = Array.from({ length: ny * scans }, () => [])
  for (let j = layerStart[layer]; j < layerStart[layer + 1]; j++) {
    for (let i = loopStart[j]; i < loopStart[j + 1]; i++) {
      const k = i + 1 < loopStart[j + 1] ? i + 1 : loopStart[j]
      const ax = (points[2 * i] - left) / g
      const ay = ((points[2 * i + 1] - low) / g) * scans - 0.5
      const bx = (points[2 * k] - left) / g
      const by = ((points[2 * k + 1] - low) / g) * scans - 0.5
      if (ay !== by) {
        const from = Math.max(0, Math.ceil(Math.min(ay, by)))
        const to = Math.max(ay, by)
        for (let row = from; row < to && row < rows.length; row++)
          rows[row].push(ax + ((row - ay) / (by - ay)) * (bx - ax))
      }
      const length = Math.hypot(bx - ax, (by - ay) / scans)
      const n = Math.max(1, Math.ceil(length * 2))
      // Half a rounding per length, as height over a cell: mm2 of flank times length over the cell's area.
      const flank = ((roundingMm(heightMm) / 2) * heightMm * length * g) / (g * g) / n
      for (let s = 0; s < n; s++) {
        const t = (s + 0.5) / n
        spread(room, nx, ny, ax + t * (bx - ax), (ay + 0.5 + t * (by - ay)) / scans, -flank)
      }
    }
  }
  rows.forEach((crossings, row) => {
    crossings.sort((a, b) => a - b)
    const base = Math.floor(row / scans) * nx
    for (let c = 0; c + 1 < crossings.length; c += 2) {
      const a = Math.max(0, crossings[c])
      const b = Math.min(nx, crossings[c + 1])
      for (let i = Math.floor(a); i < b; i++)
        room[base + i] += ((Math.min(b, i + 1) - Math.max(a, i)) / scans) * heightMm
    }
  })
}

interface LaidGrid {
  readonly cellMm: number
  readonly x0: number
  readonly y0: number
}

/** Length of a bead's path, mm. */
const lengthOfBead = (plan: BeadPlan, bead: number): number => {
  let length = 0
  for (let i = plan.beadStart[bead] + 1; i < plan.beadStart[bead + 1]; i++)
    length += Math.hypot(plan.points[3 * i] - plan.points[3 * i - 3], plan.points[3 * i + 1] - plan.points[3 * i - 2])
  return length
}

/** Adds a bead's nominal volume to the cells it fills. */
const addBead = (
  plan: BeadPlan,
  bead: number,
  feed: { flowShare: number; isFull: boolean },
  field: LayerGrid,
  grid: LaidGrid,
): void => {
  const { points, pointWidth, beadStart } = plan
  const { nx, ny } = field
  const g = grid.cellMm
  const left = grid.x0 + field.ix * g
  const low = grid.y0 + field.iy * g
  const height = plan.height[bead]
  const length = lengthOfBead(plan, bead)
  const role = plan.role[bead]
  const isLine = role === roleIndex('infill') || role === roleIndex('cap')
  const isGap = role === roleIndex('gap bead') || role === roleIndex('point deposit')
  let kind: number = isGap ? LAID_KINDS.gap : LAID_KINDS.shell
  if (isLine) {
    kind = feed.isFull || role === roleIndex('cap') ? LAID_KINDS.solidLine : LAID_KINDS.sparseLine
    if (length < SHORT_WIDTHS * plan.width[bead]) kind++
  }
  const to = field.laid[kind]
  const perCell = plan.volume[bead] / feed.flowShare / (g * g)
  const from = beadStart[bead]
  if (length < 1e-6) {
    // A standing deposit: rings of a disc.
    const r = plan.width[bead] / 2
    for (const share of [0.35, 0.61, 0.79, 0.94])
      for (let s = 0; s < 8; s++) {
        const a = (Math.PI * s) / 4
        const u = (points[3 * from] + share * r * Math.cos(a) - left) / g
        const v = (points[3 * from + 1] + share * r * Math.sin(a) - low) / g
        spread(to, nx, ny, u, v, perCell / 32)
      }
    return
  }
  // Volume goes by area times length, scaled so that the bead's own volume is kept.
  let weight = 0
  for (let i = from + 1; i < beadStart[bead + 1]; i++) {
    const l = Math.hypot(points[3 * i] - points[3 * i - 3], points[3 * i + 1] - points[3 * i - 2])
    weight += l * pitchOf((pointWidth[i] + pointWidth[i - 1]) / 2, height)
  }
  for (let i = from + 1; i < beadStart[bead + 1]; i++) {
    const ax = points[3 * i - 3]
    const ay = points[3 * i - 2]
    const dx = points[3 * i] - ax
    const dy = points[3 * i + 1] - ay
    const l = Math.hypot(dx, dy)
    if (l < 1e-9) continue
    const pitch = pitchOf((pointWidth[i] + pointWidth[i - 1]) / 2, height)
    const along = Math.max(1, Math.ceil((1.5 * l) / g))
    const across = Math.max(2, Math.ceil((2 * pitch) / g))
    const value = (perCell * l * pitch) / weight / (along * across)
    for (let s = 0; s < along; s++) {
      const t = (s + 0.5) / along
      for (let c = 0; c < across; c++) {
        const off = (((c + 0.5) / across - 0.5) * pitch) / l
        spread(to, nx, ny, (ax + t * dx - off * dy - left) / g, (ay + t * dy + off * dx - low) / g, value)
      }
    }
  }
}

/** Sum of the smoothed nominal volume by kind in one cell names the cause of what beads themselves make too much. */
const meetingCause = (kinds: readonly Float32Array[], k: number): number => {
  const shell = kinds[LAID_KINDS.shell][k]
  const gap = kinds[LAID_KINDS.gap][k]
  const line = kinds[LAID_KINDS.solidLine][k] + kinds[LAID_KINDS.sparseLine][k]
  const short = kinds[LAID_KINDS.solidShort][k] + kinds[LAID_KINDS.sparseShort][k]
  const lines = line + short
  const all = shell + gap + lines
  if (lines > 0.08 * all && shell + gap > 0.08 * all)
    return short > line ? causeIndex('short pieces of bead') : causeIndex('overlap of infill and shell')
  if (short > 0.5 * all) return causeIndex('short pieces of bead')
  if (gap > 0.15 * all) return causeIndex('gap beads')
  return causeIndex('turns')
}
const sumOf = (kinds: readonly Float32Array[], k: number, n: number): number => {
  let sum = 0
  for (let kind = 0; kind < n; kind++) sum += kinds[kind][k]
  return sum
}
const causeIndex = (cause: (typeof SURPLUS_CAUSES)[number]): number => SURPLUS_CAUSES.indexOf(cause)

/** Near sparse lines, the share of a cell's room that other beads must hold for it to count as a place that should be solid. */
const SOLID = 0.5

/** Marks cells within `reach` cells of a marked one, along rows and then columns. */
const widened = (marks: Uint8Array, nx: number, ny: number, reach: number): Uint8Array => {
  let from = marks
  for (const [count, lines, step, stride] of [
    [nx, ny, 1, nx],
    [ny, nx, nx, 1],
  ]) {
    const out = new Uint8Array(nx * ny)
    for (let line = 0; line < lines; line++) {
      for (const way of [1, -1]) {
        let since = reach + 1
        for (let i = 0; i < count; i++) {
          const k = line * stride + (way > 0 ? i : count - 1 - i) * step
          since = from[k] ? 0 : since + 1
          if (since <= reach) out[k] = 1
        }
      }
    }
    from = out
  }
  return from
}

/** Spreads room and volumes, and names how beads meet in every cell. @param openReach cells round a sparse line that it leaves open */
const weighed = ({ laid, ...layer }: LayerGrid, cellMm: number, openReach: number): LayerField => {
  const { nx, ny, room } = layer
  const n = nx * ny
  const scratch = new Float32Array(n)
  const spreadOut = (from: Float32Array): Float32Array => {
    const out = new Float32Array(n)
    smooth(from, nx, ny, scratch, out)
    return out
  }
  const kinds = laid.map(spreadOut)
  const sparse = new Uint8Array(n)
  let hasSparse = false
  for (let k = 0; k < n; k++) {
    if (laid[LAID_KINDS.sparseLine][k] + laid[LAID_KINDS.sparseShort][k] <= 0) continue
    sparse[k] = 1
    hasSparse = true
  }
  const open = hasSparse ? widened(sparse, nx, ny, openReach) : sparse
  const solid = new Uint8Array(n)
  const meeting = new Uint8Array(n)
  const nominalSpread = new Float32Array(n)
  const solidRoom = new Float32Array(n)
  const solidNominal = new Float32Array(n)
  let roomSum = 0
  let nominalSum = 0
  for (let k = 0; k < n; k++) {
    const nominal = sumOf(laid, k, N_KINDS)
    roomSum += room[k]
    nominalSum += nominal
    nominalSpread[k] = sumOf(kinds, k, N_KINDS)
    meeting[k] = meetingCause(kinds, k)
    if (room[k] <= 0 || (open[k] && sumOf(laid, k, N_SOLID_KINDS) < SOLID * room[k])) continue
    solid[k] = 1
    solidRoom[k] = room[k]
    solidNominal[k] = nominal
  }
  return {
    ...layer,
    roomMm3: roomSum * cellMm * cellMm,
    nominalMm3: nominalSum * cellMm * cellMm,
    roomSpread: spreadOut(room),
    nominalSpread,
    solid,
    solidRoomSpread: spreadOut(solidRoom),
    solidNominalSpread: spreadOut(solidNominal),
    meeting,
  }
}

/** Margin of cells round the outlines, so that smoothing and spreading stay within the grid. */
const MARGIN = 4

/** The grid of the whole plan, before any layer is filled in, and how the plan was fed. */
export interface LaidGround extends LaidGrid {
  readonly lowX: number
  readonly lowY: number
  readonly highX: number
  readonly highY: number
  readonly flowShare: number
  readonly isFull: boolean
  readonly openReach: number
}

export const groundOf = (plan: BeadPlan, stack: LayerStack, flowShare: number, infillShare: number): LaidGround => {
  const { points } = stack
  let nominal = 0
  for (let b = 0; b < plan.nBeads; b++) nominal = Math.max(nominal, plan.role[b] < 2 ? plan.width[b] : 0)
  const cellMm = (nominal > 0 ? nominal : 0.4) / 2
  let lowX = Infinity
  let lowY = Infinity
  let highX = -Infinity
  let highY = -Infinity
  for (let i = 0; i < points.length; i += 2) {
    lowX = Math.min(lowX, points[i])
    highX = Math.max(highX, points[i])
    lowY = Math.min(lowY, points[i + 1])
    highY = Math.max(highY, points[i + 1])
  }
  return {
    cellMm,
    x0: lowX - MARGIN * cellMm,
    y0: lowY - MARGIN * cellMm,
    lowX,
    lowY,
    highX,
    highY,
    flowShare,
    isFull: infillShare >= 0.999,
    // Lines stand one pitch over the share apart; three quarters of that reach past the middle between two.
    openReach: Math.ceil(1.5 / Math.max(infillShare, 0.05)),
  }
}

/** The grid of one layer. */
export const fieldOfLayer = (plan: BeadPlan, stack: LayerStack, layer: number, ground: LaidGround): LayerField => {
  const { points, loopStart, layerStart, faceZ } = stack
  const { cellMm } = ground
  let ax = Infinity
  let ay = Infinity
  let bx = -Infinity
  let by = -Infinity
  for (let k = 2 * loopStart[layerStart[layer]]; k < 2 * loopStart[layerStart[layer + 1]]; k += 2) {
    ax = Math.min(ax, points[k])
    bx = Math.max(bx, points[k])
    ay = Math.min(ay, points[k + 1])
    by = Math.max(by, points[k + 1])
  }
  const empty = !(bx > ax)
  const ix = empty ? 0 : Math.max(0, Math.floor((ax - ground.x0) / cellMm) - MARGIN)
  const iy = empty ? 0 : Math.max(0, Math.floor((ay - ground.y0) / cellMm) - MARGIN)
  const nx = empty ? 0 : Math.ceil((bx - ground.x0) / cellMm) + MARGIN - ix
  const ny = empty ? 0 : Math.ceil((by - ground.y0) / cellMm) + MARGIN - iy
  const field: LayerGrid = {
    ix,
    iy,
    nx,
    ny,
    room: new Float32Array(nx * ny),
    laid: Array.from({ length: N_KINDS }, () => new Float32Array(nx * ny)),
    heightMm: faceZ[layer + 1] - faceZ[layer],
  }
  addRoom(stack, layer, field, ground)
  for (let b = plan.layerStart[layer]; b < plan.layerStart[layer + 1]; b++)
    if (!OUTSIDE.has(plan.role[b])) addBead(plan, b, ground, field, ground)
  return weighed(field, cellMm, ground.openReach)
}

/**
 * The grids of a whole plan.
 * @param flowShare flow share the plan's volumes contain
 * @param infillShare share the plan was made with: at 1 its infill counts as solid
 */
export const laidField = async (
  plan: BeadPlan,
  stack: LayerStack,
  flowShare: number,
  infillShare: number,
  task?: Task,
): Promise<LaidField> => {
  const ground = groundOf(plan, stack, flowShare, infillShare)
  const { cellMm, x0, y0, lowX, lowY, highX, highY } = ground
  const cellsTo = (length: number) => (length > 0 ? Math.ceil(length / cellMm) + 2 * MARGIN : 0)
  const layers: LayerField[] = []
  const nLayers = Math.min(plan.nLayers, stack.nLayers)
  for (let i = 0; i < nLayers; i++) {
    layers.push(fieldOfLayer(plan, stack, i, ground))
    if (i % 8 === 7) {
      task?.onProgress?.(i / nLayers, 'weighing plastic against room')
      await breathe(task)
    }
  }
  return {
    cellMm,
    x0,
    y0,
    nx: cellsTo(highX - lowX) + MARGIN,
    ny: cellsTo(highY - lowY) + MARGIN,
    layers,
  }
}
