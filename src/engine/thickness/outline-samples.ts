// Where along an outline the thickness is measured: every corner, and points between so that none lie far apart.

/** Samples of some loops. Segment i runs from the loops' i-th point to the next one of its loop. */
export interface OutlineSamples {
  /** Samples of loop j are sampleStart[j] to sampleStart[j+1]-1; length nLoops+1. */
  readonly sampleStart: Uint32Array
  /** xy per sample. */
  readonly samples: Float64Array
  /** Point at which (share 0) or after which the sample lies. */
  readonly point: Uint32Array
  /** 1 at a corner, 0 between two. */
  readonly isCorner: Uint8Array
}

/** Turning of the outline at b, radians, positive to the left. */
export const turningAt = (ax: number, ay: number, bx: number, by: number, cx: number, cy: number): number => {
  const ux = bx - ax
  const uy = by - ay
  const vx = cx - bx
  const vy = cy - by
  return Math.atan2(ux * vy - uy * vx, ux * vx + uy * vy)
}

/**
 * Samples at all corners and between them, no farther apart than the spacing. A segment is sampled at its middle when the
 * outline bulges from its chord by more than half the roughness (a coarse round: its inscribed circle touches there), and any
 * divided segment has an even number of parts for the same reason.
 */
export const placeSamples = (
  loopStart: ArrayLike<number>,
  points: Float64Array,
  spacing: number,
  roughness: number,
): OutlineSamples => {
  const nLoops = loopStart.length - 1
  const nPoints = loopStart[nLoops]
  const parts = new Uint16Array(nPoints)
  const sampleStart = new Uint32Array(nLoops + 1)
  let total = 0
  for (let j = 0; j < nLoops; j++) {
    const from = loopStart[j]
    const to = loopStart[j + 1]
    if (to > from) {
      let turnBefore = turning(points, to - 1, from, from + 1 < to ? from + 1 : from)
      for (let i = from; i < to; i++) {
        const k = i + 1 < to ? i + 1 : from
        const l = k + 1 < to ? k + 1 : from
        const turnAfter = turning(points, i, k, l)
        const dx = points[2 * k] - points[2 * i]
        const dy = points[2 * k + 1] - points[2 * i + 1]
        const length = Math.sqrt(dx * dx + dy * dy)
        let n = Math.min(60000, Math.ceil(length / spacing - 1e-9))
        if (n <= 1) n = length * (Math.abs(turnBefore) + Math.abs(turnAfter)) > 8 * roughness ? 2 : 1
        else if (n % 2 === 1) n++
        parts[i] = n
        total += n
        turnBefore = turnAfter
      }
    }
    sampleStart[j + 1] = total
  }
  const samples = new Float64Array(2 * total)
  const point = new Uint32Array(total)
  const isCorner = new Uint8Array(total)
  let at = 0
  for (let j = 0; j < nLoops; j++) {
    for (let i = loopStart[j]; i < loopStart[j + 1]; i++) {
      const k = i + 1 < loopStart[j + 1] ? i + 1 : loopStart[j]
      const n = parts[i]
      for (let part = 0; part < n; part++) {
        const t = part / n
        samples[2 * at] = points[2 * i] + t * (points[2 * k] - points[2 * i])
        samples[2 * at + 1] = points[2 * i + 1] + t * (points[2 * k + 1] - points[2 * i + 1])
        point[at] = i
        isCorner[at] = part === 0 ? 1 : 0
        at++
      }
    }
  }
  return { sampleStart, samples, point, isCorner }
}

const turning = (points: Float64Array, a: number, b: number, c: number): number =>
  turningAt(points[2 * a], points[2 * a + 1], points[2 * b], points[2 * b + 1], points[2 * c], points[2 * c + 1])
