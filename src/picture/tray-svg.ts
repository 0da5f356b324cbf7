// A bed in plan, to scale: its edge and margin, every piece's outline where it stands, numbers in the order of printing, the way between.

import { scaleBarMarks } from './rule-svg.ts'
import { ACCENT, element, FAINT, INK, PAPER, picture, px, RULE, textAt, WASH } from './svg-text.ts'

/** One piece: its outline where it stands, xy per point in compressed rows, mm, and what is written on it. */
export interface PieceInPlan {
  readonly loopStart: ArrayLike<number>
  readonly points: ArrayLike<number>
  readonly x: number
  readonly y: number
  readonly name: string
}

export interface TrayPicture {
  readonly bedXMm: number
  readonly bedYMm: number
  readonly marginMm: number
  readonly pieces: readonly PieceInPlan[]
  /** Pieces in the order of printing or visiting. */
  readonly order: readonly number[]
  /** Draw the way from piece to piece. */
  readonly way: boolean
  readonly label: string
}

/** Width of a letter as a share of the size of the text, on the safe side. */
const LETTER = 0.56

/** True when the names stand free of one another and on the bed; otherwise the numbers must do. */
const namesFit = ({ pieces, bedXMm }: TrayPicture, pxPerMm: number, size: number, tallPx: number): boolean => {
  const half = pieces.map(({ name }) => (LETTER * size * name.length) / 2)
  return pieces.every(
    ({ x, y }, i) =>
      Math.min(x, bedXMm - x) * pxPerMm + 10 > half[i] &&
      pieces.every(
        (other, k) =>
          k <= i || Math.abs(other.x - x) * pxPerMm > half[i] + half[k] || Math.abs(other.y - y) * pxPerMm > tallPx,
      ),
  )
}

/** Draws the bed so that it fills the width. y points away from the viewer, as on the machine. */
export const traySvg = (tray: TrayPicture, widthPx: number): string => {
  const edge = 14
  const foot = 34
  const pxPerMm = (widthPx - 2 * edge) / tray.bedXMm
  const height = edge + tray.bedYMm * pxPerMm + foot
  const toX = (mm: number): number => edge + mm * pxPerMm
  const toY = (mm: number): number => edge + (tray.bedYMm - mm) * pxPerMm
  const frame = (inset: number, ink: Record<string, string | number>): string =>
    element('rect', {
      x: toX(inset),
      y: toY(tray.bedYMm - inset),
      width: (tray.bedXMm - 2 * inset) * pxPerMm,
      height: (tray.bedYMm - 2 * inset) * pxPerMm,
      ...ink,
    })
  let inside = frame(0, { fill: PAPER, stroke: INK, 'stroke-width': 1.4 })
  if (tray.marginMm > 0)
    inside += frame(tray.marginMm, { fill: 'none', stroke: RULE, 'stroke-width': 1, 'stroke-dasharray': '4 3' })
  for (const { loopStart, points } of tray.pieces) {
    let d = ''
    for (let j = 0; j + 1 < loopStart.length; j++) {
      for (let i = loopStart[j]; i < loopStart[j + 1]; i++)
        d += `${i === loopStart[j] ? 'M' : 'L'}${px(toX(points[2 * i]))} ${px(toY(points[2 * i + 1]))}`
      d += 'Z'
    }
    inside += element('path', { d, fill: WASH, stroke: INK, 'stroke-width': 1.1, 'stroke-linejoin': 'round' })
  }
  if (tray.way && tray.order.length > 1) {
    const d = tray.order
      .map((k, i) => `${i === 0 ? 'M' : 'L'}${px(toX(tray.pieces[k].x))} ${px(toY(tray.pieces[k].y))}`)
      .join('')
    inside += element('path', {
      d,
      fill: 'none',
      stroke: ACCENT,
      'stroke-width': 1.2,
      'stroke-dasharray': '0.1 4',
      'stroke-linecap': 'round',
    })
  }
  const size = Math.max(9.5, Math.min(15, 6 * pxPerMm))
  const nameSize = Math.max(9.5, 0.72 * size)
  const hasNames = namesFit(tray, pxPerMm, nameSize, 1.6 * size + nameSize)
  tray.order.forEach((k, i) => {
    const { x, y, name } = tray.pieces[k]
    // A rim of the piece's own tone keeps the way from running through the words.
    const ink = { 'text-anchor': 'middle', 'font-size': size, stroke: WASH, 'stroke-width': 3, 'paint-order': 'stroke' }
    inside += textAt(toX(x), toY(y) + (hasNames ? -1 : 0.35 * size), String(i + 1), { ...ink, 'font-weight': 700 })
    if (hasNames) inside += textAt(toX(x), toY(y) + 0.9 * size, name, { ...ink, fill: FAINT, 'font-size': nameSize })
  })
  inside += textAt(widthPx - edge, height - 8, `bed ${tray.bedXMm} x ${tray.bedYMm} mm`, {
    fill: FAINT,
    'font-size': 10.5,
    'text-anchor': 'end',
  })
  inside += scaleBarMarks(edge, height - 8, pxPerMm, 90)
  return picture(widthPx, height, tray.label, inside)
}
