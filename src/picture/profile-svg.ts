// A quantity against the way along an outline: the unrolled edge of a section, with its limit, and hatched where nothing is known.

import { scaleLinear } from 'd3-scale'
import { area, line } from 'd3-shape'
import { cividis } from './cividis.ts'
import { decimalsOfStep, roundBelow, shown } from './scales.ts'
import { ACCENT, element, FAINT, INK, PAPER, picture, px, RULE, textAt } from './svg-text.ts'

/** One outline: how far along its points stand, mm, all outlines one behind the other, and the value there, NaN where unknown. */
export interface ProfileLine {
  readonly atMm: readonly number[]
  readonly values: readonly number[]
}

export interface ProfilePicture {
  readonly lines: readonly ProfileLine[]
  /** Length of all outlines, mm. */
  readonly lengthMm: number
  readonly from: number
  readonly to: number
  readonly decimals: number
  /** What stands upright, with its unit. */
  readonly quantity: string
  readonly limit?: { readonly label: string; readonly value: number; readonly bad: 'above' | 'below' }
  /** What the picture shows, for screen readers. */
  readonly label: string
}

/** Space left, right, above and below the plot, px. */
export const PROFILE_INSET = { left: 48, right: 10, top: 8, bottom: 30 } as const

const BAR_PX = 6
const BAR_STEPS = 24

type Spot = readonly [mm: number, value: number]

/** Stretches without a value, from and to, mm. */
const unknownStretches = ({ atMm, values }: ProfileLine): [number, number][] => {
  const found: [number, number][] = []
  for (let i = 0; i + 1 < values.length; i++) {
    if (Number.isFinite(values[i]) && Number.isFinite(values[i + 1])) continue
    const last = found[found.length - 1]
    if (last && last[1] === atMm[i]) last[1] = atMm[i + 1]
    else found.push([atMm[i], atMm[i + 1]])
  }
  return found
}

const hatch = (id: string, turn: number, ink: string): string =>
  `<pattern id="${id}" width="5" height="5" patternUnits="userSpaceOnUse" patternTransform="rotate(${turn})">` +
  `${element('path', { d: 'M0 0V5', stroke: ink, 'stroke-width': 1.1 })}</pattern>`

/** The colours of the section stand beside the axis, so that a height in the plot can be found there. */
const colourBar = (right: number, top: number, bottom: number): string => {
  let bar = ''
  const step = (bottom - top) / BAR_STEPS
  for (let k = 0; k < BAR_STEPS; k++)
    bar += element('rect', {
      x: right - BAR_PX,
      y: bottom - (k + 1) * step,
      width: BAR_PX,
      height: step + 0.4,
      fill: cividis((k + 0.5) / BAR_STEPS),
    })
  return bar
}

/** Draws the profile. Values beyond the scale stand at its end. */
export const profileSvg = (profile: ProfilePicture, widthPx: number, heightPx: number): string => {
  const { lines, lengthMm, from, to, decimals, quantity, limit, label } = profile
  const [left, right] = [PROFILE_INSET.left, widthPx - PROFILE_INSET.right]
  const [top, bottom] = [PROFILE_INSET.top, heightPx - PROFILE_INSET.bottom]
  const x = scaleLinear()
    .domain([0, Math.max(lengthMm, 1e-6)])
    .range([left, right])
  const y = scaleLinear().domain([from, to]).range([bottom, top]).clamp(true)
  const faint = { fill: FAINT, 'font-size': 10.5 }

  let inside = hatch('profile-bad', 45, INK) + hatch('profile-unknown', -45, FAINT)
  inside += element('rect', { x: left, y: top, width: right - left, height: bottom - top, fill: PAPER, stroke: RULE })
  inside += colourBar(left - 3, top, bottom)
  for (const one of lines)
    for (const [a, b] of unknownStretches(one))
      inside += element('rect', {
        class: 'unknown',
        x: x(a),
        y: top,
        width: x(b) - x(a),
        height: bottom - top,
        fill: 'url(#profile-unknown)',
        'fill-opacity': 0.5,
      })
  const drawn = line<Spot>()
    .defined(([, value]) => Number.isFinite(value))
    .x(([mm]) => x(mm))
    .y(([, value]) => y(value))
  let curve = ''
  let bad = ''
  for (const { atMm, values } of lines) {
    const spots = atMm.map((mm, i): Spot => [mm, values[i]])
    curve += drawn(spots) ?? ''
    if (!limit) continue
    const isBad = (value: number) => (limit.bad === 'above' ? value > limit.value : value < limit.value)
    bad +=
      area<Spot>()
        .defined(([, value]) => Number.isFinite(value))
        .x(([mm]) => x(mm))
        .y0(y(limit.value))
        .y1(([, value]) => y(isBad(value) ? value : limit.value))(spots) ?? ''
  }
  if (bad) inside += element('path', { d: bad, fill: 'url(#profile-bad)' })
  if (limit) {
    const at = y(limit.value)
    inside += element('path', {
      class: 'limit',
      d: `M${left} ${px(at)}H${right}`,
      stroke: INK,
      'stroke-dasharray': '4 3',
      fill: 'none',
    })
  }
  // A fine line where one outline ends and the next begins.
  let ends = ''
  for (const { atMm } of lines.slice(1)) ends += `M${px(x(atMm[0]))} ${top}V${bottom}`
  if (ends) inside += element('path', { d: ends, stroke: FAINT, 'stroke-width': 0.7, fill: 'none' })
  inside += element('path', { d: curve, fill: 'none', stroke: ACCENT, 'stroke-width': 1.5, 'stroke-linejoin': 'round' })
  const ticks = roundBelow(Math.max(lengthMm, 0.01) / 3)
  for (let mm = 0; mm < lengthMm + 1e-9; mm += ticks) {
    inside += element('path', { d: `M${px(x(mm))} ${bottom}v4`, stroke: INK, 'stroke-width': 0.8 })
    inside += textAt(x(mm), bottom + 14, shown(mm, decimalsOfStep(ticks)), { ...faint, 'text-anchor': 'middle' })
  }
  inside += textAt((left + right) / 2, bottom + 26, `${quantity}, against mm along the outline`, {
    ...faint,
    'text-anchor': 'middle',
  })
  inside += textAt(left - BAR_PX - 6, top + 8, shown(to, decimals), { ...faint, 'text-anchor': 'end' })
  inside += textAt(left - BAR_PX - 6, bottom, shown(from, decimals), { ...faint, 'text-anchor': 'end' })
  return picture(widthPx, heightPx, label, inside)
}
