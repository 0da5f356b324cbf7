// One column of the height log: a quantity against height, with its limit, a second line and what lies beyond.

import { scaleLinear } from 'd3-scale'
import { area, line } from 'd3-shape'
import { type HeightFrame, heightScale, shown } from './scales.ts'
import { ACCENT, element, escapeText, FAINT, INK, PAPER, picture, px, RULE, textAt, WASH } from './svg-text.ts'

/** A track as the pictures need it; a track of an examination fits as it is. */
export interface TrackPicture {
  readonly id: string
  readonly question: string
  readonly quantity: string
  readonly unit: string
  /** One value a layer, NaN where there is none. */
  readonly values: ArrayLike<number>
  readonly other?: { readonly label: string; readonly values: ArrayLike<number> }
  /** A band of values that matters, e.g. within which plastic softens. */
  readonly band?: { readonly label: string; readonly from: number; readonly to: number }
  readonly limit?: { readonly label: string; readonly value: number; readonly bad: 'above' | 'below' }
  readonly from: number
  readonly to: number
  readonly drawn: 'steps' | 'line'
  readonly decimals: number
}

export interface TrackFrame extends HeightFrame {
  readonly widthPx: number
  /** Write question and quantity above the plot (a page may write them itself). Needs about 52 px above the plot. */
  readonly head?: boolean
}

/** Space below the plot for the axis numbers, px. */
export const TRACK_FOOT_PX = 18

const withUnit = (text: string, unit: string): string => (unit ? `${text} ${unit}` : text)

/** Lowest and highest value of a track and the heights where they are; null when it is empty. */
export const trackRange = (track: TrackPicture, faceZ: ArrayLike<number>) => {
  let least = -1
  let most = -1
  for (let i = 0; i < track.values.length; i++) {
    const value = track.values[i]
    if (!Number.isFinite(value)) continue
    if (least < 0 || value < track.values[least]) least = i
    if (most < 0 || value > track.values[most]) most = i
  }
  if (least < 0) return null
  const middle = (i: number) => (faceZ[i] + faceZ[i + 1]) / 2
  return {
    least: track.values[least],
    leastAtMm: middle(least),
    most: track.values[most],
    mostAtMm: middle(most),
  }
}

/** A track in one sentence, for screen readers and captions. */
export const trackSentence = (track: TrackPicture, faceZ: ArrayLike<number>): string => {
  const range = trackRange(track, faceZ)
  if (!range) return `${track.question}: no values.`
  const say = (value: number) => withUnit(shown(value, track.decimals), track.unit)
  const limit = track.limit ? ` ${track.limit.label}: ${say(track.limit.value)}.` : ''
  const band = track.band ? ` ${track.band.label}: ${say(track.band.from)} to ${say(track.band.to)}.` : ''
  return (
    `${track.question}: ${track.quantity}, least ${say(range.least)} at ${shown(range.leastAtMm, 1)} mm, ` +
    `most ${say(range.most)} at ${shown(range.mostAtMm, 1)} mm.${limit}${band}`
  )
}

type Spot = readonly [value: number, zMm: number]

const spotsOf = (values: ArrayLike<number>, faceZ: ArrayLike<number>, drawn: TrackPicture['drawn']): Spot[] => {
  const spots: Spot[] = []
  for (let i = 0; i < values.length; i++) {
    if (drawn === 'steps') spots.push([values[i], faceZ[i]], [values[i], faceZ[i + 1]])
    else spots.push([values[i], (faceZ[i] + faceZ[i + 1]) / 2])
  }
  return spots
}

/** Splits words over two lines of about equal length. */
export const inTwoLines = (text: string): readonly [string, string] => {
  const words = text.split(' ')
  let best = words.length
  let bestLength = Number.POSITIVE_INFINITY
  for (let k = 1; k < words.length; k++) {
    const longer = Math.max(words.slice(0, k).join(' ').length, words.slice(k).join(' ').length)
    if (longer < bestLength) [best, bestLength] = [k, longer]
  }
  return [words.slice(0, best).join(' '), words.slice(best).join(' ')]
}

const cutMarks = (track: TrackPicture, faceZ: ArrayLike<number>, y: (mm: number) => number, width: number): string => {
  // A run of values past the end of the axis gets one small arrow at its middle.
  let marks = ''
  let runFrom = -1
  for (let i = 0; i <= track.values.length; i++) {
    const beyond = i < track.values.length && track.values[i] > track.to + 1e-9
    if (beyond && runFrom < 0) runFrom = i
    if (!beyond && runFrom >= 0) {
      const at = y((faceZ[runFrom] + faceZ[i]) / 2)
      marks += `M${px(width - 6.5)} ${px(at - 3.5)}l5 3.5l-5 3.5z`
      runFrom = -1
    }
  }
  return marks ? element('path', { d: marks, fill: ACCENT }) : ''
}

/** The band over the whole height: a grey that lets the wash through, with a fine line at either end. */
const bandMarks = ({ band }: TrackPicture, frame: TrackFrame, x: (v: number) => number): string => {
  if (!band) return ''
  const [from, to] = [x(band.from), x(band.to)]
  const [top, bottom] = [frame.topPx, frame.topPx + frame.plotPx]
  return (
    element('rect', { x: from, y: top, width: to - from, height: frame.plotPx, fill: INK, 'fill-opacity': 0.1 }) +
    element('path', {
      d: `M${px(from)} ${px(top)}V${px(bottom)}M${px(to)} ${px(top)}V${px(bottom)}`,
      stroke: INK,
      'stroke-width': 0.5,
      'stroke-opacity': 0.5,
      fill: 'none',
    })
  )
}

const limitMarks = (
  track: TrackPicture,
  spots: readonly Spot[],
  x: (v: number) => number,
  y: (mm: number) => number,
) => {
  if (!track.limit) return ''
  const { value, bad } = track.limit
  const at = x(value)
  const wrong = ([v]: Spot) => (bad === 'above' ? v > value + 1e-9 : v < value - 1e-9)
  const hatched = area<Spot>()
    .defined((spot) => Number.isFinite(spot[0]))
    .y((spot) => y(spot[1]))
    .x0(at)
    .x1((spot) => (wrong(spot) ? x(spot[0]) : at))
  const pattern = `hatch-${track.id.replaceAll(/[^a-zA-Z0-9-]/g, '-')}`
  const ends = y(spots[0][1])
  const top = y(spots[spots.length - 1][1])
  return (
    `<pattern id="${escapeText(pattern)}" width="5" height="5" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">` +
    `<rect width="5" height="5" fill="${escapeText(PAPER)}"/><path d="M0 0V5" stroke="${escapeText(INK)}" stroke-width="1.2" stroke-opacity="0.7"/></pattern>` +
    element('path', { d: hatched([...spots]) ?? '', fill: `url(#${pattern})` }) +
    element('path', { d: `M${px(at)} ${px(ends)}V${px(top)}`, stroke: INK, 'stroke-dasharray': '4 3', fill: 'none' })
  )
}

/**
 * Draws a track. The left edge of the plot stands at x = 0.5, its right edge at width - 0.5.
 * @param faceZ heights of the layers' faces, mm, one more than there are values
 */
export const trackSvg = (track: TrackPicture, faceZ: ArrayLike<number>, frame: TrackFrame): string => {
  const y = heightScale(frame)
  const x = scaleLinear()
    .domain([track.from, track.to])
    .range([0.5, frame.widthPx - 0.5])
    .clamp(true)
  const spots = spotsOf(track.values, faceZ, track.drawn)
  const present = (spot: Spot) => Number.isFinite(spot[0])
  const bottom = frame.topPx + frame.plotPx
  const right = frame.widthPx - 0.5

  let inside = ''
  if (frame.head) {
    const [first, second] = inTwoLines(track.question)
    inside += textAt(0, frame.topPx - 36, first, { 'font-weight': 600 })
    inside += textAt(0, frame.topPx - 23, second, { 'font-weight': 600 })
    inside += textAt(0, frame.topPx - 8, track.unit ? `${track.quantity}, ${track.unit}` : track.quantity, {
      fill: FAINT,
      'font-size': 10,
    })
  }
  inside += element('rect', {
    x: 0.5,
    y: frame.topPx,
    width: right - 0.5,
    height: frame.plotPx,
    fill: PAPER,
    stroke: RULE,
  })
  let rules = ''
  for (let mm = Math.ceil(frame.fromMm / 5) * 5; mm < frame.toMm; mm += 5) rules += `M0.5 ${px(y(mm))}H${px(right)}`
  inside += element('path', { d: rules, stroke: RULE, 'stroke-width': 0.6, fill: 'none' })
  if (spots.length) {
    const wash = area<Spot>()
      .defined(present)
      .y((spot) => y(spot[1]))
      .x0(x(track.from))
      .x1((spot) => x(spot[0]))
    const curve = (values: readonly Spot[]) =>
      line<Spot>()
        .defined(present)
        .x((spot) => x(spot[0]))
        .y((spot) => y(spot[1]))([...values]) ?? ''
    inside += element('path', { d: wash(spots) ?? '', fill: WASH })
    inside += bandMarks(track, frame, x)
    inside += limitMarks(track, spots, x, y)
    if (track.other)
      inside += element('path', {
        d: curve(spotsOf(track.other.values, faceZ, track.drawn)),
        fill: 'none',
        stroke: FAINT,
        'stroke-dasharray': '1.5 2.5',
      })
    inside += element('path', {
      d: curve(spots),
      fill: 'none',
      stroke: ACCENT,
      'stroke-width': 1.5,
      'stroke-linejoin': 'round',
    })
    inside += cutMarks(track, faceZ, y, frame.widthPx)
  }
  inside += textAt(1, bottom + 13, shown(track.from, track.from % 1 ? track.decimals : 0), {
    fill: FAINT,
    'font-size': 10,
  })
  inside += textAt(right, bottom + 13, shown(track.to, track.to % 1 ? track.decimals : 0), {
    fill: FAINT,
    'font-size': 10,
    'text-anchor': 'end',
  })
  return picture(frame.widthPx, bottom + TRACK_FOOT_PX, trackSentence(track, faceZ), inside)
}
