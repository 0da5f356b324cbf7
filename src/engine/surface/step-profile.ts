// The profile that layers make on a slope: cusp height, depth, and roughness Ra with half-round bead sides.
//
// Cusp height t |cos theta| (theta between the surface's normal and the build axis; Dolenc & Maekelae 1994, from memory). Sharp stairs are
// a saw with Ra = cusp / 4. Real beads have round sides: layers are taken as strips whose ends are half discs of radius t/2 (the stadium
// of the beads room), each shifted by t tan(alpha) on a slope alpha from the vertical. The outermost line of that pile, seen square to
// the slope, is integrated over one period. On a wall it is a row of half circles: depth t/2, Ra 0.0907 t.
// Limits: round sides as deep as the stadium says; no waviness of the machine, no surplus, no swell.

/** Slopes in the table, evenly from the wall to one degree off flat. */
const N_SLOPES = 180
const STEEPEST = (89 * Math.PI) / 180
/** Points in one period, and for every layer height of a longer one. */
const POINTS = 1000

/** Height of the pile square to the slope at a place u along it, layer height 1; -Infinity where the layer is not met. */
const layerTop = (u: number, sin: number, cos: number): number => {
  const off = u - 0.5 * cos
  if (off < -0.5) return -Infinity
  if (off <= 0.5) {
    const v = 0.5 * sin + Math.sqrt(Math.max(0, 0.25 - off * off))
    if (v * cos - u * sin >= -1e-12) return v
  }
  return (1 - u * cos) / sin
}

/** Depth and Ra of the profile on a slope, in layer heights. @param slope radians from the vertical, 0 to below pi/2 */
export const integrateProfile = (slope: number): { depth: number; ra: number } => {
  const sin = Math.sin(slope)
  const cos = Math.cos(slope)
  const period = 1 / cos
  const n = Math.ceil(POINTS * period)
  const heights = new Float64Array(n)
  const start = 0.5 * cos - 0.5
  // The layer below may still stand out beyond this one's lower edge.
  const heightAt = (u: number): number =>
    sin > 1e-9 ? Math.max(layerTop(u, sin, cos), layerTop(u + period, sin, cos)) : layerTop(u, sin, cos)
  let sum = 0
  let lowest = 0
  let high = -Infinity
  for (let i = 0; i < n; i++) {
    const v = heightAt(start + ((i + 0.5) / n) * period)
    heights[i] = v
    sum += v
    if (v < heights[lowest]) lowest = i
    if (v > high) high = v
  }
  // Grooves are sharp: their bottom is looked for between the points.
  let from = start + Math.max(1e-9, ((lowest - 0.5) / n) * period)
  let to = start + Math.min(period - 1e-9, ((lowest + 1.5) / n) * period)
  for (let i = 0; i < 40; i++) {
    const a = from + (to - from) / 3
    const b = to - (to - from) / 3
    if (heightAt(a) < heightAt(b)) to = b
    else from = a
  }
  const low = heightAt((from + to) / 2)
  const mean = sum / n
  let off = 0
  for (let i = 0; i < n; i++) off += Math.abs(heights[i] - mean)
  return { depth: high - low, ra: off / n }
}

let table: { depth: Float64Array; ra: Float64Array } | null = null
const profiles = (): { depth: Float64Array; ra: Float64Array } => {
  if (table) return table
  const depth = new Float64Array(N_SLOPES + 1)
  const ra = new Float64Array(N_SLOPES + 1)
  for (let i = 0; i <= N_SLOPES; i++) {
    const one = integrateProfile((i / N_SLOPES) * STEEPEST)
    depth[i] = one.depth
    ra[i] = one.ra
  }
  table = { depth, ra }
  return table
}

/** Surfaces closer to level than this lie in one layer and have no steps, cos of 1 degree. */
export const LEVEL_COS = Math.cos(Math.PI / 180)

const lookUp = (values: Float64Array, cosTheta: number): number => {
  const c = Math.min(1, Math.abs(cosTheta))
  if (c >= LEVEL_COS) return 0
  const at = Math.min(N_SLOPES, (Math.asin(c) / STEEPEST) * N_SLOPES)
  const i = Math.min(N_SLOPES - 1, Math.floor(at))
  return values[i] + (at - i) * (values[i + 1] - values[i])
}

/** Cusp height of sharp stairs, in the unit of the layer height. @param cosTheta cosine between surface normal and build axis */
export const cuspHeight = (layerHeight: number, cosTheta: number): number => layerHeight * Math.abs(cosTheta)

/** Ra of sharp stairs: a quarter of the cusp. */
export const sharpRa = (layerHeight: number, cosTheta: number): number => cuspHeight(layerHeight, cosTheta) / 4

/** Ra with half-round bead sides, in the unit of the layer height. */
export const stepRa = (layerHeight: number, cosTheta: number): number => layerHeight * lookUp(profiles().ra, cosTheta)

/** Peak to valley with half-round bead sides, in the unit of the layer height. */
export const stepDepth = (layerHeight: number, cosTheta: number): number =>
  layerHeight * lookUp(profiles().depth, cosTheta)
