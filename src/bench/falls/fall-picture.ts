// One fall as a line drawing: the figure as it strikes, a wedge under the place that touches first, a ring round the place that breaks first.

import { elevationSvg, galleryScale } from '../../picture/index.ts'
import type { DrawnFall } from './turn-figure.ts'

/** Room of one drawing, px, and room under the floor for the wedge. */
export const FALL_PICTURE = Object.freeze({ width: 240, height: 220 })
const FOOT_PX = 12
const RING_PX = 8

/** Pixels for each mm that let all of them fit the same room. */
export const fallScale = (drawings: readonly DrawnFall[]): number =>
  galleryScale(
    drawings.map(({ stack, heightMm }) => ({ stack, heightMm, title: '', words: '' })),
    FALL_PICTURE.width,
    FALL_PICTURE.height,
  )

const at = (value: number): string => value.toFixed(1)

/** Draws one fall. @param pxPerMm from fallScale @param label what it shows, for screen readers */
export const fallPicture = (
  { stack, contact, breaks, hiddenMm }: DrawnFall,
  pxPerMm: number,
  label: string,
): string => {
  const { width, height } = FALL_PICTURE
  const plotPx = height - FOOT_PX
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
