// The millimetre rule beside a standing figure, and the bar that gives a plan its scale.

import { decimalsOfStep, type HeightFrame, heightScale, roundBelow } from './scales.ts'
import { element, FAINT, INK, px, textAt } from './svg-text.ts'

/** Marks of a rule whose edge stands at x, ticks to its left; every millimetre, longer at 5 and 10, numbers at 5 or 10. */
export const ruleMarks = (frame: HeightFrame, x: number): string => {
  const y = heightScale(frame)
  const pxPerMm = frame.plotPx / (frame.toMm - frame.fromMm)
  const fine = pxPerMm >= 4
  const everyNumber = pxPerMm >= 6 ? 5 : 10
  let ticks = `M${px(x)} ${px(y(frame.fromMm))}V${px(y(frame.toMm))}`
  let numbers = ''
  for (let mm = Math.ceil(frame.fromMm); mm <= frame.toMm; mm++) {
    const long = mm % 10 === 0 ? 11 : mm % 5 === 0 ? 8 : 4
    if (fine || mm % 5 === 0) ticks += `M${px(x)} ${px(y(mm))}h${-long}`
    if (mm % everyNumber === 0)
      numbers += textAt(x - 14, y(mm) + 3.5, String(mm), { fill: FAINT, 'font-size': 10.5, 'text-anchor': 'end' })
  }
  return (
    element('path', { d: ticks, stroke: INK, 'stroke-width': 0.9, fill: 'none' }) +
    numbers +
    textAt(x - 4, y(frame.toMm) - 7, 'mm', { fill: FAINT, 'font-size': 10.5, 'text-anchor': 'end' })
  )
}

/** The bed as a draughtsman draws ground: a line with strokes below it. */
export const bedMarks = (fromPx: number, toPx: number, yPx: number): string => {
  let strokes = `M${px(fromPx)} ${px(yPx)}H${px(toPx)}`
  for (let x = fromPx + 6; x <= toPx; x += 7) strokes += `M${px(x)} ${px(yPx)}l-5 5`
  return element('path', { d: strokes, stroke: INK, 'stroke-width': 0.8, fill: 'none' })
}

/** A scale bar of a round length not longer than the room given. */
export const scaleBarMarks = (x: number, y: number, pxPerMm: number, roomPx: number): string => {
  const lengthMm = roundBelow(roomPx / pxPerMm)
  const end = x + lengthMm * pxPerMm
  return (
    element('path', { d: `M${px(x)} ${px(y - 4)}v4H${px(end)}v-4`, stroke: INK, 'stroke-width': 1.1, fill: 'none' }) +
    textAt((x + end) / 2, y - 6, `${lengthMm.toFixed(decimalsOfStep(lengthMm))} mm`, {
      'font-size': 10.5,
      'text-anchor': 'middle',
    })
  )
}
