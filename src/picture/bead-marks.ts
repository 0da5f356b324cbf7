// Beads in plan and to scale, in one ink: strips as wide as the beads, fuller where plastic has no room, paler where it is missing.
// Three passes over all beads, so that strips which touch keep a line between them: ink at full width, paper a little narrower,
// then the tone in groups of one opacity, where overlapping strokes do not add up.

import { ACCENT, element, INK, PAPER, px } from './svg-text.ts'

/** Beads in the compressed-row manner, and which of them are meant. */
export interface BeadsInPlan {
  readonly beadStart: ArrayLike<number>
  /** x and y of point i stand at [stride*i] and [stride*i+1], mm. */
  readonly points: ArrayLike<number>
  readonly stride: 2 | 3
  /** Width at each point, mm. */
  readonly pointWidth: ArrayLike<number>
  /** Beads from (inclusive) and to (exclusive). */
  readonly fromBead: number
  readonly toBead: number
  /** Beads that are not part of the figure, such as priming loops. */
  readonly isLeftOut?: (bead: number) => boolean
}

/** Plastic less room on a grid, as a share of the layer height: 0 just fits, NaN where nothing is said. */
export interface PlasticGrid {
  readonly cellMm: number
  /** Corner of the first cell, mm. */
  readonly x0: number
  readonly y0: number
  readonly nx: number
  readonly ny: number
  readonly share: ArrayLike<number>
}

/** Tones from much too little to much too much: shares at which the next one begins, and the ink's opacity. */
const TONE_FROM = [-0.13, -0.08, 0.03, 0.08, 0.15] as const
const TONE_INK = [0.07, 0.14, 0.24, 0.44, 0.66, 0.88] as const
/** Tone of a bead that just fits. */
const FITS = 2

/** Index of the tone for a share of surplus. */
export const toneOf = (share: number): number =>
  Number.isNaN(share) ? FITS : TONE_FROM.reduce<number>((n, from) => n + (share >= from ? 1 : 0), 0)

/** Share at a place, between the middles of the four cells around it; cells that say nothing are left out. */
const shareAt = (grid: PlasticGrid, x: number, y: number): number => {
  const u = (x - grid.x0) / grid.cellMm - 0.5
  const v = (y - grid.y0) / grid.cellMm - 0.5
  const [i, j] = [Math.floor(u), Math.floor(v)]
  let [sum, weight] = [0, 0]
  for (let k = 0; k < 4; k++) {
    const [ci, cj] = [i + (k & 1), j + (k >> 1)]
    if (ci < 0 || cj < 0 || ci >= grid.nx || cj >= grid.ny) continue
    const share = grid.share[cj * grid.nx + ci]
    if (Number.isNaN(share)) continue
    const w = (k & 1 ? u - i : 1 - u + i) * (k >> 1 ? v - j : 1 - v + j)
    sum += w * share
    weight += w
  }
  return weight > 0.2 ? sum / weight : Number.NaN
}

/** Widths are drawn in steps of this, mm: less than can be seen. */
const WIDTH_STEP = 0.02

/** Path data by width, and by tone and width. */
class Strips {
  readonly whole = new Map<number, string>()
  readonly toned = TONE_INK.map(() => new Map<number, string>())
  /** Ends of beads, which are round; between two tones the strip is cut straight. */
  readonly ends = TONE_INK.map(() => new Map<number, string>())

  add(to: Map<number, string>, width: number, d: string): void {
    to.set(width, (to.get(width) ?? '') + d)
  }
}

const gather = (
  beads: BeadsInPlan,
  plastic: PlasticGrid | undefined,
  toX: (mm: number) => number,
  toY: (mm: number) => number,
): Strips => {
  const { points, stride, pointWidth, beadStart } = beads
  const strips = new Strips()
  const at = (x: number, y: number) => `${px(toX(x))} ${px(toY(y))}`
  const inSteps = (width: number) => Math.max(1, Math.round(width / WIDTH_STEP))
  for (let b = beads.fromBead; b < beads.toBead; b++) {
    if (beads.isLeftOut?.(b)) continue
    const from = beadStart[b]
    const to = beadStart[b + 1]
    if (to - from === 1) {
      const [x, y] = [points[stride * from], points[stride * from + 1]]
      const width = inSteps(pointWidth[from])
      strips.add(strips.whole, width, `M${at(x, y)}h0`)
      strips.add(strips.ends[plastic ? toneOf(shareAt(plastic, x, y)) : FITS], width, `M${at(x, y)}h0`)
      continue
    }
    let [run, runWidth, piece, pieceTone, pieceWidth] = ['', -1, '', -1, -1]
    for (let i = from + 1; i < to; i++) {
      const [ax, ay] = [points[stride * (i - 1)], points[stride * (i - 1) + 1]]
      const [bx, by] = [points[stride * i], points[stride * i + 1]]
      const width = inSteps((pointWidth[i - 1] + pointWidth[i]) / 2)
      if (width !== runWidth) {
        if (run) strips.add(strips.whole, runWidth, run)
        ;[run, runWidth] = [`M${at(ax, ay)}`, width]
      }
      run += `L${at(bx, by)}`
      const length = Math.hypot(bx - ax, by - ay)
      const n = plastic ? Math.max(1, Math.ceil(length / (1.5 * plastic.cellMm))) : 1
      for (let s = 0; s < n; s++) {
        const t = (s + 0.5) / n
        const tone = plastic ? toneOf(shareAt(plastic, ax + t * (bx - ax), ay + t * (by - ay))) : FITS
        if (tone !== pieceTone || width !== pieceWidth) {
          if (piece) {
            if (s > 0) piece += `L${at(ax + (s / n) * (bx - ax), ay + (s / n) * (by - ay))}`
            strips.add(strips.toned[pieceTone], pieceWidth, piece)
          }
          if (!piece) strips.add(strips.ends[tone], width, `M${at(ax, ay)}h0`)
          piece = `M${at(ax + (s / n) * (bx - ax), ay + (s / n) * (by - ay))}`
          ;[pieceTone, pieceWidth] = [tone, width]
        }
      }
      piece += `L${at(bx, by)}`
    }
    if (run) strips.add(strips.whole, runWidth, run)
    if (piece) {
      strips.add(strips.toned[pieceTone], pieceWidth, piece)
      strips.add(
        strips.ends[pieceTone],
        pieceWidth,
        `M${at(points[stride * to - stride], points[stride * to - stride + 1])}h0`,
      )
    }
  }
  return strips
}

/** Marks of the beads. @param pxPerMm scale, the same along x and y */
export const beadMarks = (
  beads: BeadsInPlan,
  plastic: PlasticGrid | undefined,
  toX: (mm: number) => number,
  toY: (mm: number) => number,
  pxPerMm: number,
): string => {
  const strips = gather(beads, plastic, toX, toY)
  const drawn = (paths: Map<number, string>, stroke: string, isInner: boolean, cap: 'round' | 'butt') =>
    [...paths]
      .map(([width, d]) => {
        const wide = width * WIDTH_STEP * pxPerMm
        const line = isInner ? wide - 2 * Math.min(0.7, 0.14 * wide) : wide
        return element('path', { d, stroke, 'stroke-width': line, 'stroke-linecap': cap })
      })
      .join('')
  const tones = TONE_INK.map((opacity, k) => {
    const inside = drawn(strips.toned[k], INK, true, 'butt') + drawn(strips.ends[k], INK, true, 'round')
    return inside ? element('g', { opacity }, inside) : ''
  }).join('')
  return element(
    'g',
    { class: 'beads', fill: 'none', 'stroke-linejoin': 'round' },
    element('g', { opacity: 0.75 }, drawn(strips.whole, INK, false, 'round')) +
      drawn(strips.whole, PAPER, true, 'round') +
      tones,
  )
}

/** How far beads reach, as one even tint: for beads that others are compared with. */
export const reachMarks = (
  beads: BeadsInPlan,
  toX: (mm: number) => number,
  toY: (mm: number) => number,
  pxPerMm: number,
): string => {
  const paths = [...gather(beads, undefined, toX, toY).whole]
    .map(([width, d]) => element('path', { d, 'stroke-width': width * WIDTH_STEP * pxPerMm }))
    .join('')
  return element(
    'g',
    {
      class: 'reach',
      fill: 'none',
      stroke: ACCENT,
      'stroke-linecap': 'round',
      'stroke-linejoin': 'round',
      opacity: 0.3,
    },
    paths,
  )
}
