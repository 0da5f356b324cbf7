// The balance of volume laid against room, layer by layer, with what is shut in carried upwards.
//
// Plastic under the nozzle yields sideways by about a bead; so laid volume and room are compared after both are smoothed over
// that reach. What is still too much stands proud: near a wall it comes out there, elsewhere it is shut in and takes room from the
// next layer, until a layer has room for it or the figure ends above it. Causes: the diameter's and the flow's part are known
// exactly; the rest lies in how beads meet, and is named by which beads meet there.

import type { BeadPlan } from '../beads/index.ts'
import type { LayerStack } from '../sections/index.ts'
import { flowErrorOf } from './flow-error.ts'
import type { LaidField } from './laid-field.ts'
import { smooth } from './smooth.ts'
import { type Feed, type MeltBalance, N_CAUSES, SURPLUS_CAUSES } from './types.ts'

/** Cells less covered than this, after smoothing, are near a wall. */
const NEAR_WALL = 0.93
/** Cells less covered than this are not in the figure. */
const IN_FIGURE = 0.45
/** What the surface takes without a gap or a blob showing: unevenness of the grid itself, share of the layer height. */
const EVEN = 0.01

/** Nearest outline point of a layer. */
const nearestWall = (stack: LayerStack, layer: number, x: number, y: number): [number, number] => {
  const { points, loopStart, layerStart } = stack
  let best = Infinity
  let at: [number, number] = [x, y]
  for (let j = layerStart[layer]; j < layerStart[layer + 1]; j++) {
    for (let i = loopStart[j]; i < loopStart[j + 1]; i++) {
      const k = i + 1 < loopStart[j + 1] ? i + 1 : loopStart[j]
      const dx = points[2 * k] - points[2 * i]
      const dy = points[2 * k + 1] - points[2 * i + 1]
      const l2 = dx * dx + dy * dy
      const s = l2 > 0 ? Math.max(0, Math.min(1, ((x - points[2 * i]) * dx + (y - points[2 * i + 1]) * dy) / l2)) : 0
      const px = points[2 * i] + s * dx
      const py = points[2 * i + 1] + s * dy
      const d = (px - x) ** 2 + (py - y) ** 2
      if (d < best) {
        best = d
        at = [px, py]
      }
    }
  }
  return at
}

/**
 * Strikes the balance.
 * @param field grids of the plan (laidField): the same grids serve any feed
 */
export const balanceOf = (field: LaidField, plan: BeadPlan, stack: LayerStack, feed: Feed): MeltBalance => {
  const nLayers = field.layers.length
  const each = () => new Float64Array(nLayers)
  const out = {
    laidMm3: each(),
    roomMm3: each(),
    overflowMm3: each(),
    causesMm3: new Float64Array(nLayers * N_CAUSES),
    outAtWallMm3: each(),
    outOnTopMm3: each(),
    shutInMm3: each(),
    gapMm3: each(),
    solidRoomMm3: each(),
    heightMm: each(),
    heightAt: new Float64Array(2 * nLayers),
    heightCause: new Uint8Array(nLayers),
    outAt: new Float64Array(3 * nLayers),
    endSurplusMm: new Float32Array(plan.nBeads),
  }
  const g = field.cellMm
  const cellArea = g * g
  const thicker = flowErrorOf(feed.diameterErrorMm, feed.filamentMm)
  const pushed = feed.flowShare * (1 + thicker)
  let carry = new Float32Array(field.nx * field.ny)
  let carryNext = new Float32Array(field.nx * field.ny)
  let size = 0
  for (const { nx, ny } of field.layers) size = Math.max(size, nx * ny)
  const surplus = new Float32Array(size)
  const heldHere = new Float32Array(size)
  const heldSpread = new Float32Array(size)
  const scratch = new Float32Array(size)

  for (let layer = 0; layer < nLayers; layer++) {
    const own = field.layers[layer]
    const { nx, ny, ix, iy, heightMm, roomSpread, nominalSpread, solid, solidRoomSpread, solidNominalSpread } = own
    const n = nx * ny
    out.roomMm3[layer] = own.roomMm3
    out.laidMm3[layer] = own.nominalMm3 * pushed
    // What stands proud from below is pushed aside by the nozzle as this layer is laid.
    let held = 0
    for (let j = 0; j < ny; j++) {
      const row = (iy + j) * field.nx + ix
      for (let i = 0; i < nx; i++) held += heldHere[j * nx + i] = carry[row + i]
    }
    if (held > 0) smooth(heldHere, nx, ny, scratch, heldSpread)
    else heldSpread.fill(0, 0, n)
    carryNext.fill(0)
    let highest = 0
    let highestAt = -1
    for (let k = 0; k < n; k++) {
      surplus[k] = 0
      const room = roomSpread[k]
      const before = heldSpread[k]
      if (room < IN_FIGURE * heightMm) {
        out.outAtWallMm3[layer] += before * cellArea
        continue
      }
      const cell = (iy + Math.floor(k / nx)) * field.nx + ix + (k % nx)
      const nominal = nominalSpread[k]
      const fresh = nominal * pushed - room
      const proud = before + fresh
      if (solid[k]) {
        out.solidRoomMm3[layer] += own.room[k] * cellArea
        const missing = solidRoomSpread[k] - solidNominalSpread[k] * pushed - before - EVEN * heightMm
        if (missing > 0) out.gapMm3[layer] += missing * cellArea
      }
      if (proud <= EVEN * heightMm) continue
      surplus[k] = proud
      const added = Math.max(0, Math.min(proud, fresh))
      if (added > 0) {
        const volume = added * cellArea
        out.overflowMm3[layer] += volume
        const parts = [
          Math.max(0, nominal * feed.flowShare * thicker),
          Math.max(0, nominal * (feed.flowShare - 1)),
          Math.max(0, nominal - room),
        ]
        const sum = parts[0] + parts[1] + parts[2]
        const meet = own.meeting[k]
        const row = layer * N_CAUSES
        if (sum > 0) {
          out.causesMm3[row + 0] += (volume * parts[0]) / sum
          out.causesMm3[row + 1] += (volume * parts[1]) / sum
          out.causesMm3[row + meet] += (volume * parts[2]) / sum
        }
        if (proud > highest)
          out.heightCause[layer] = parts[2] >= Math.max(parts[0], parts[1]) ? meet : +(parts[1] > parts[0])
      }
      if (proud > highest) {
        highest = proud
        highestAt = k
      }
      if (room < NEAR_WALL * heightMm) out.outAtWallMm3[layer] += proud * cellArea
      else carryNext[cell] = proud
    }
    // Where the figure ends above, what is shut in comes out on top.
    const next = field.layers[layer + 1]
    for (let j = 0; j < ny; j++) {
      for (let i = 0; i < nx; i++) {
        const cell = (iy + j) * field.nx + ix + i
        const held = carryNext[cell]
        if (held === 0) continue
        const u = next ? ix + i - next.ix : -1
        const v = next ? iy + j - next.iy : -1
        const covered =
          next && u >= 0 && v >= 0 && u < next.nx && v < next.ny && next.room[v * next.nx + u] > 0.5 * next.heightMm
        if (covered) out.shutInMm3[layer] += held * cellArea
        else {
          out.outOnTopMm3[layer] += held * cellArea
          carryNext[cell] = 0
        }
      }
    }
    out.heightMm[layer] = highest
    const x = highestAt < 0 ? Number.NaN : field.x0 + (ix + (highestAt % nx) + 0.5) * g
    const y = highestAt < 0 ? Number.NaN : field.y0 + (iy + Math.floor(highestAt / nx) + 0.5) * g
    out.heightAt.set([x, y], 2 * layer)
    out.outAt.set(wayOut(field, stack, layer, x, y), 3 * layer)
    for (let b = plan.layerStart[layer]; b < plan.layerStart[layer + 1]; b++) {
      const i = plan.beadStart[b + 1] - 1
      const u = Math.floor((plan.points[3 * i] - field.x0) / g) - ix
      const v = Math.floor((plan.points[3 * i + 1] - field.y0) / g) - iy
      if (u >= 0 && v >= 0 && u < nx && v < ny) out.endSurplusMm[b] = surplus[v * nx + u]
    }
    ;[carry, carryNext] = [carryNext, carry]
  }
  const sum = (values: Float64Array) => values.reduce((a, b) => a + b, 0)
  const causes = SURPLUS_CAUSES.map((_, c) => {
    let total = 0
    for (let i = 0; i < nLayers; i++) total += out.causesMm3[i * N_CAUSES + c]
    return total
  })
  const laidTotal = sum(out.laidMm3)
  const overflow = sum(out.overflowMm3)
  const gap = sum(out.gapMm3)
  const solid = sum(out.solidRoomMm3)
  return {
    kind: 'melt-balance',
    nLayers,
    feed,
    ...out,
    totals: {
      laidMm3: laidTotal,
      roomMm3: sum(out.roomMm3),
      overflowMm3: overflow,
      gapMm3: gap,
      overflowShare: laidTotal > 0 ? overflow / laidTotal : 0,
      gapShare: solid > 0 ? gap / solid : 0,
      causesMm3: causes,
    },
  }
}

/** The nearest surface from a place in a layer: its wall, or the first layer above that no longer covers it. */
const wayOut = (field: LaidField, stack: LayerStack, layer: number, x: number, y: number): [number, number, number] => {
  if (Number.isNaN(x)) return [Number.NaN, Number.NaN, Number.NaN]
  const [wx, wy] = nearestWall(stack, layer, x, y)
  const toWall = Math.hypot(wx - x, wy - y)
  const top = stack.faceZ[layer + 1]
  for (let above = layer + 1; above <= field.layers.length; above++) {
    const up = stack.faceZ[above] - top
    if (up > toWall) break
    const own = field.layers[above]
    const u = own ? Math.floor((x - field.x0) / field.cellMm) - own.ix : -1
    const v = own ? Math.floor((y - field.y0) / field.cellMm) - own.iy : -1
    const covered = own && u >= 0 && v >= 0 && u < own.nx && v < own.ny && own.room[v * own.nx + u] > 0.5 * own.heightMm
    if (!covered) return [x, y, stack.faceZ[above]]
  }
  return [wx, wy, top]
}
