// The legend of a painted quantity: the colours from least to most, with both ends in numbers.

import { cividis } from './cividis.ts'
import { shown } from './scales.ts'
import { element, FAINT, picture, textAt } from './svg-text.ts'

/** A bar of colours with its two ends. Values beyond the ends have the colour of the end. */
export const legendSvg = (
  name: string,
  unit: string,
  from: number,
  to: number,
  decimals: number,
  widthPx = 180,
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
  const label = `${name}: dark blue is ${shown(from, decimals)} ${unit}, yellow is ${shown(to, decimals)} ${unit}`
  return picture(widthPx, 26, label, inside)
}
