// Flags: a number in a shape, one shape per severity. Shape and number carry the meaning, colour carries none.

import { element, INK, PAPER, picture, textAt } from './svg-text.ts'

export type FlagSeverity = 'breaks' | 'marks' | 'costs' | 'note'

/** What each severity means, in words, for legends and screen readers. */
export const SEVERITY_WORDS: Readonly<Record<FlagSeverity, string>> = {
  breaks: 'will fail',
  marks: 'will show',
  costs: 'costs time or plastic',
  note: 'worth knowing',
}

/**
 * The marks of a flag about a middle point, for placing inside another picture.
 * breaks: filled triangle; marks: outlined diamond; costs: outlined square; note: outlined circle.
 * @param size width of the shape, px
 */
export const flagMarks = (severity: FlagSeverity, number: number, x: number, y: number, size = 22): string => {
  const r = size / 2
  const filled = severity === 'breaks'
  const ink = { fill: filled ? INK : PAPER, stroke: INK, 'stroke-width': 1.4, 'stroke-linejoin': 'round' }
  const shapes: Readonly<Record<FlagSeverity, () => string>> = {
    breaks: () => {
      const top = y - 1.02 * r
      const foot = y + 0.8 * r
      return element('path', { d: `M${x} ${top}L${x + 1.12 * r} ${foot}H${x - 1.12 * r}Z`, ...ink })
    },
    marks: () =>
      element('path', {
        d: `M${x} ${y - 1.1 * r}L${x + 1.1 * r} ${y}L${x} ${y + 1.1 * r}L${x - 1.1 * r} ${y}Z`,
        ...ink,
      }),
    costs: () => element('rect', { x: x - 0.85 * r, y: y - 0.85 * r, width: 1.7 * r, height: 1.7 * r, ...ink }),
    note: () => element('circle', { cx: x, cy: y, r: 0.92 * r, ...ink }),
  }
  const fontSize = (number > 99 ? 0.66 : number > 9 ? 0.9 : 1) * r
  const digits = textAt(x, y + (filled ? 0.56 : 0.34) * r, String(number), {
    fill: filled ? PAPER : INK,
    'font-size': fontSize,
    'font-weight': 700,
    'text-anchor': 'middle',
  })
  return shapes[severity]() + digits
}

/** A flag as a picture of its own. */
export const flagSvg = (severity: FlagSeverity, number: number, size = 24): string => {
  const side = size * 1.25
  return picture(
    side,
    side,
    `Flag ${number}, ${SEVERITY_WORDS[severity]}`,
    flagMarks(severity, number, side / 2, side / 2, size),
  )
}
