// One fall as a line drawing: the figure as it strikes, a wedge under the place that touches first, a ring round the place that breaks first.

import { elevationSvg, galleryScale } from '../../picture/index.ts'
import type { DrawnFall } from './turn-figure.ts'

/** Most room of one drawing, px, and the size of the ring. */
const ROOM = Object.freeze({ width: 240, height: 220 })
const RING_PX = 8

/** What drawings that stand beside one another share. */
export interface FallFrame {
  readonly pxPerMm: number
  /** Floor to top, px. */
  readonly plotPx: number
}

/** One scale and one height for all of them: none is larger than its room, and no paper stays empty above the tallest. */
export const fallFrame = (drawings: readonly DrawnFall[]): FallFrame => {
  const pxPerMm = galleryScale(
    drawings.map(({ stack, heightMm }) => ({ stack, heightMm, title: '', words: '' })),
    ROOM.width,
    ROOM.height,
  )
  const tallest = Math.max(...drawings.map(({ heightMm, breaks }) => Math.max(heightMm, breaks[1] + RING_PX / pxPerMm)))
  return { pxPerMm, plotPx: Math.ceil(tallest * pxPerMm) + 4 }
}

const at = (value: number): string => value.toFixed(1)

/** Draws one fall. @param label what it shows, for screen readers */
export const fallPicture = (
  { stack, contact, breaks, hiddenMm }: DrawnFall,
  { pxPerMm, plotPx }: FallFrame,
  label: string,
): string => {
  const { width } = ROOM
  const toX = (mm: number): number => width / 2 + mm * pxPerMm
  const toY = (mm: number): number => plotPx - mm * pxPerMm
  const drawn = elevationSvg(stack, label, {
    fromMm: 0,
    toMm: plotPx / pxPerMm,
    plotPx,
    topPx: 0,
    widthPx: width,
    turn: 0,
  })
  const [cx, cy] = [at(toX(breaks[0])), at(toY(breaks[1]))]
  const ring = (ink: string, thick: number, dashes = ''): string =>
    `<circle cx="${cx}" cy="${cy}" r="${RING_PX}" fill="none" stroke="${ink}" stroke-width="${thick}"${dashes}/>`
  // Behind plastic: dashed, as a draughtsman draws what is hidden.
  const marks =
    ring('var(--pic-paper, #fdfcf8)', 4.5) +
    ring('var(--pic-ink, #1c2327)', 2, hiddenMm > 2 ? ' stroke-dasharray="3 2.5"' : '') +
    `<path d="M${at(toX(contact[0]))} ${plotPx + 1}l5 9h-10z" fill="var(--pic-ink, #1c2327)"/>`
  return drawn.replace(/<\/svg>$/, `${marks}</svg>`)
}
