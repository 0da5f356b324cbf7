// The legend of a painted quantity: the colours from least to most, with both ends in numbers.

import { cividis } from './cividis.ts'
import { shown } from './scales.ts'
import { element, FAINT, INK, PAPER, picture, px, textAt } from './svg-text.ts'

/** A value that the quantity is held against. */
export interface LegendLimit {
  readonly label: string
  readonly value: number
}

/** Height of the legend, px; a limit has a line of words of its own. */
export const legendHeightPx = (limit?: LegendLimit): number => (limit ? 40 : 26)

/** The limit as a mark across the bar, and in words beneath. */
const limitMarks = ({ label, value }: LegendLimit, from: number, to: number, said: string, widthPx: number): string => {
  const share = Math.min(1, Math.max(0, (value - from) / (to - from)))
  const x = Math.min(widthPx - 1, Math.max(1, share * widthPx))
  const d = `M${px(x)} 0V12`
  const isBeyond = value < from || value > to
  return (
    element('path', { d, stroke: PAPER, 'stroke-width': 4, fill: 'none' }) +
    element('path', {
      d,
      stroke: INK,
      'stroke-width': 1.5,
      fill: 'none',
      'stroke-dasharray': isBeyond ? '2 2' : undefined,
    }) +
    textAt(0, 36, `mark: ${label}, ${said}${isBeyond ? ', beyond the colours' : ''}`, {
      fill: FAINT,
      'font-size': 10.5,
    })
  )
}

/** A bar of colours with its two ends. Values beyond the ends have the colour of the end. */
export const legendSvg = (
  name: string,
  unit: string,
  from: number,
  to: number,
  decimals: number,
  widthPx = 180,
  limit?: LegendLimit,
): string => {
  const steps = 16
  let inside = ''
  for (let k = 0; k < steps; k++)
    inside += element('rect', {
      x: (k * widthPx) / steps,
      y: 0,
      width: widthPx / steps + 0.5,
      height: 9,
      fill: cividis((k + 0.5) / steps),
    })
  const ends = { fill: FAINT, 'font-size': 10.5 }
  inside += textAt(0, 22, `${shown(from, decimals)} ${unit}`, ends)
  inside += textAt(widthPx, 22, `${shown(to, decimals)} ${unit}`, { ...ends, 'text-anchor': 'end' })
  inside += textAt(widthPx / 2, 22, name, { ...ends, 'text-anchor': 'middle' })
  const held = limit ? `${shown(limit.value, Math.max(decimals, 1))} ${unit}`.trim() : ''
  if (limit) inside += limitMarks(limit, from, to, held, widthPx)
  const label = `${name}: dark blue is ${shown(from, decimals)} ${unit}, yellow is ${shown(to, decimals)} ${unit}${limit ? `, mark at ${limit.label}, ${held}` : ''}`
  return picture(widthPx, legendHeightPx(limit), label, inside)
}
