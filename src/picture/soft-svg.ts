// How deep one place softens again, against layer height and against outer-shell speed: plots side by side, one scale of depth.

import { scaleLinear } from 'd3-scale'
import { line } from 'd3-shape'
import { shown } from './scales.ts'
import { ACCENT, element, FAINT, INK, inLines, PAPER, picture, px, RULE, textAt } from './svg-text.ts'

/** One run of a series. */
export interface SoftMark {
  readonly value: number
  readonly softDepthMm: number
  readonly softDepthLayers: number
}

export interface SoftPlot {
  readonly name: string
  readonly unit: string
  readonly points: readonly SoftMark[]
}

const PLOT_PX = 150
const [LEFT, TOP, FOOT, GAP] = [44, 52, 46, 30]
/** Width of a letter of a plot's name, px. */
const LETTER_PX = 5.8

/** Draws the plots; numbers on the points are layers. @param widthPx width of each plot */
export const softSvg = (plots: readonly SoftPlot[], label: string, widthPx = 230): string => {
  const most = Math.max(0.1, ...plots.flatMap(({ points }) => points.map((p) => p.softDepthMm).filter(Number.isFinite)))
  const y = scaleLinear()
    .domain([0, most * 1.12])
    .range([TOP + PLOT_PX, TOP])
  let inside = textAt(0, 12, 'softened again, mm; the number at a point counts layers', {
    fill: FAINT,
    'font-size': 10,
  })
  plots.forEach((plot, i) => {
    const x0 = LEFT + i * (widthPx + GAP)
    const known = plot.points.filter(({ softDepthMm }) => Number.isFinite(softDepthMm))
    const ends = plot.points.map(({ value }) => value)
    const x = scaleLinear()
      .domain([Math.min(...ends), Math.max(...ends)])
      .range([x0 + 14, x0 + widthPx - 14])
    const lines = inLines(plot.name, Math.floor(widthPx / LETTER_PX))
    lines.forEach((text, k) => {
      inside += textAt(x0, TOP - 10 - 13 * (lines.length - 1 - k), text, { 'font-weight': 600, 'font-size': 10.5 })
    })
    inside += element('rect', { x: x0, y: TOP, width: widthPx, height: PLOT_PX, fill: PAPER, stroke: RULE })
    for (const tick of y.ticks(4)) {
      inside += element('path', {
        d: `M${px(x0)} ${px(y(tick))}H${px(x0 + widthPx)}`,
        stroke: RULE,
        'stroke-width': 0.6,
        fill: 'none',
      })
      if (i === 0)
        inside += textAt(x0 - 5, y(tick) + 3.5, shown(tick, 1), { 'text-anchor': 'end', fill: FAINT, 'font-size': 10 })
    }
    const path = line<SoftMark>()
      .x((p) => x(p.value))
      .y((p) => y(p.softDepthMm))
    inside += element('path', { d: path([...known]) ?? '', fill: 'none', stroke: ACCENT, 'stroke-width': 1.5 })
    for (const p of known) {
      inside += element('circle', { cx: x(p.value), cy: y(p.softDepthMm), r: 3, fill: PAPER, stroke: INK })
      inside += textAt(x(p.value), y(p.softDepthMm) - 7, shown(p.softDepthLayers, 1), {
        'text-anchor': 'middle',
        'font-size': 10,
      })
      inside += textAt(x(p.value), TOP + PLOT_PX + 14, String(p.value), {
        'text-anchor': 'middle',
        fill: FAINT,
        'font-size': 10,
      })
    }
    inside += textAt(x0 + widthPx / 2, TOP + PLOT_PX + 30, plot.unit, {
      'text-anchor': 'middle',
      fill: FAINT,
      'font-size': 10,
    })
  })
  return picture(LEFT + plots.length * (widthPx + GAP), TOP + PLOT_PX + FOOT, label, inside)
}
