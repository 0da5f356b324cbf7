// The section at one height, in plan and to scale, in one ink: what is solid, what the layer below held, what is thin or lost.

import { scaleBarMarks } from './rule-svg.ts'
import { preferredBelow } from './scales.ts'
import { ACCENT, element, FAINT, INK, PAPER, picture, px, textAt } from './svg-text.ts'

/** Closed loops in the compressed-row manner (xy per point, mm), and which of them are meant. */
export interface LoopsInPlan {
  readonly loopStart: ArrayLike<number>
  readonly points: ArrayLike<number>
  /** Loops from (inclusive) and to (exclusive). */
  readonly fromLoop: number
  readonly toLoop: number
}

/** A thin place (ring with its width) or a lost piece (hatched disc with its length). */
export interface PlanMark {
  readonly kind: 'thin' | 'lost' | 'air'
  readonly x: number
  readonly y: number
  /** Radius of what is marked, mm. */
  readonly radiusMm: number
  readonly label: string
}

/** Beads in the compressed-row manner (xy per point, mm, width at each point, mm), and which of them are meant. */
export interface BeadsInPlan {
  readonly beadStart: ArrayLike<number>
  readonly xy: ArrayLike<number>
  readonly width: ArrayLike<number>
  /** Beads from (inclusive) and to (exclusive). */
  readonly fromBead: number
  readonly toBead: number
}

export interface SectionPicture {
  readonly solid: LoopsInPlan
  /** Beads to scale in place of the hatching: where two lie over each other it is darker, where none lies the paper shows. */
  readonly beads?: BeadsInPlan
  /** Outlines of the layer below, drawn dashed. */
  readonly below?: LoopsInPlan
  readonly marks: readonly PlanMark[]
  /** What the picture shows, for screen readers. */
  readonly label: string
}

export interface SectionFrame {
  readonly widthPx: number
  readonly heightPx: number
  /** Greatest scale, px per mm. */
  readonly mostPxPerMm?: number
}

/** Corners of the loops, mm: least x, least y, most x, most y; null when there are none. */
export const planBounds = (loops: LoopsInPlan): readonly [number, number, number, number] | null => {
  let [x0, y0, x1, y1] = [Infinity, Infinity, -Infinity, -Infinity]
  for (let i = loops.loopStart[loops.fromLoop]; i < loops.loopStart[loops.toLoop]; i++) {
    x0 = Math.min(x0, loops.points[2 * i])
    x1 = Math.max(x1, loops.points[2 * i])
    y0 = Math.min(y0, loops.points[2 * i + 1])
    y1 = Math.max(y1, loops.points[2 * i + 1])
  }
  return x1 >= x0 ? [x0, y0, x1, y1] : null
}

const pathOf = (loops: LoopsInPlan, toX: (mm: number) => number, toY: (mm: number) => number): string => {
  let d = ''
  for (let j = loops.fromLoop; j < loops.toLoop; j++) {
    const from = loops.loopStart[j]
    const to = loops.loopStart[j + 1]
    for (let i = from; i < to; i++)
      d += `${i === from ? 'M' : 'L'}${px(toX(loops.points[2 * i]))} ${px(toY(loops.points[2 * i + 1]))}`
    if (to > from) d += 'Z'
  }
  return d
}

/** One bead as a strip of its own width: a stroke where the width is even, else its outline. */
const beadPath = (
  { beadStart, xy, width }: BeadsInPlan,
  bead: number,
  toX: (mm: number) => number,
  toY: (mm: number) => number,
  pxPerMm: number,
): string => {
  const from = beadStart[bead]
  const to = beadStart[bead + 1]
  let least = Infinity
  let most = 0
  for (let i = from; i < to; i++) {
    least = Math.min(least, width[i])
    most = Math.max(most, width[i])
  }
  const ink = { stroke: 'none', fill: INK, 'fill-opacity': BEAD_INK }
  if (to - from === 1)
    return element('circle', { cx: toX(xy[2 * from]), cy: toY(xy[2 * from + 1]), r: (most / 2) * pxPerMm, ...ink })
  if (most - least < 0.06 * most) {
    let d = ''
    for (let i = from; i < to; i++) d += `${i === from ? 'M' : 'L'}${px(toX(xy[2 * i]))} ${px(toY(xy[2 * i + 1]))}`
    const closes = Math.hypot(xy[2 * from] - xy[2 * to - 2], xy[2 * from + 1] - xy[2 * to - 1]) < 1e-6
    return element('path', {
      d: closes ? `${d}Z` : d,
      fill: 'none',
      stroke: INK,
      'stroke-opacity': BEAD_INK,
      'stroke-width': ((least + most) / 2) * pxPerMm,
      'stroke-linejoin': 'round',
      'stroke-linecap': closes ? 'butt' : 'round',
    })
  }
  const left: string[] = []
  const right: string[] = []
  for (let i = from; i < to; i++) {
    const a = Math.max(from, i - 1)
    const b = Math.min(to - 1, i + 1)
    const dx = xy[2 * b] - xy[2 * a]
    const dy = xy[2 * b + 1] - xy[2 * a + 1]
    const length = Math.hypot(dx, dy) || 1
    const nx = (-dy / length) * (width[i] / 2)
    const ny = (dx / length) * (width[i] / 2)
    left.push(`${px(toX(xy[2 * i] + nx))} ${px(toY(xy[2 * i + 1] + ny))}`)
    right.push(`${px(toX(xy[2 * i] - nx))} ${px(toY(xy[2 * i + 1] - ny))}`)
  }
  return element('path', { d: `M${left.join('L')}L${right.reverse().join('L')}Z`, ...ink })
}

/** Ink of one bead: two over each other are clearly darker. */
const BEAD_INK = 0.42

/** Draws the section. The scale is a preferred number of px per mm that lets it fit, so that it changes seldom while scrubbing. */
export const sectionSvg = (section: SectionPicture, frame: SectionFrame): string => {
  const bounds = planBounds(section.solid)
  const { widthPx: width, heightPx: height } = frame
  if (!bounds)
    return picture(
      width,
      height,
      section.label,
      textAt(width / 2, height / 2, 'Nothing is laid at this height.', {
        fill: FAINT,
        'text-anchor': 'middle',
      }),
    )
  const [x0, y0, x1, y1] = bounds
  const room = 34
  const fit = Math.min((width - 2 * room) / Math.max(x1 - x0, 0.4), (height - 2 * room) / Math.max(y1 - y0, 0.4))
  const pxPerMm = Math.min(preferredBelow(fit), frame.mostPxPerMm ?? 50)
  const toX = (mm: number) => width / 2 + (mm - (x0 + x1) / 2) * pxPerMm
  const toY = (mm: number) => height / 2 - 6 - (mm - (y0 + y1) / 2) * pxPerMm

  let inside =
    `<pattern id="plan-hatch" width="5" height="5" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">` +
    `${element('path', { d: 'M0 0V5', stroke: INK, 'stroke-width': 1, 'stroke-opacity': 0.55 })}</pattern>`
  if (section.below)
    inside += element('path', {
      d: pathOf(section.below, toX, toY),
      fill: 'none',
      stroke: FAINT,
      'stroke-width': 0.9,
      'stroke-dasharray': '3 3',
    })
  const solid = pathOf(section.solid, toX, toY)
  inside += element('path', { d: solid, fill: PAPER, 'fill-rule': 'evenodd' })
  const { beads } = section
  if (beads && beads.toBead > beads.fromBead) {
    for (let b = beads.fromBead; b < beads.toBead; b++) inside += beadPath(beads, b, toX, toY, pxPerMm)
  }
  const isHatched = !beads || beads.toBead <= beads.fromBead
  inside += element('path', {
    d: solid,
    fill: isHatched ? 'url(#plan-hatch)' : 'none',
    'fill-rule': 'evenodd',
    stroke: INK,
    'stroke-width': isHatched ? 1.6 : 0.9,
    'stroke-linejoin': 'round',
  })
  let labelY = 16
  for (const mark of section.marks) {
    const [x, y] = [toX(mark.x), toY(mark.y)]
    const r = Math.max(5, mark.radiusMm * pxPerMm + 2)
    const dashes = mark.kind === 'lost' ? '2 2' : undefined
    inside += element('circle', {
      cx: x,
      cy: y,
      r,
      fill: mark.kind === 'air' ? ACCENT : 'none',
      'fill-opacity': 0.16,
      stroke: ACCENT,
      'stroke-width': 1.8,
      'stroke-dasharray': dashes,
    })
    const left = x > width / 2
    const textX = left ? width - 6 : 6
    const edge = left ? x + r : x - r
    const bend = left ? width - 8 - 6 * mark.label.length : 8 + 6 * mark.label.length
    inside += element('path', {
      d: `M${px(edge)} ${px(y)}L${px(bend)} ${px(labelY - 4)}`,
      stroke: ACCENT,
      'stroke-width': 0.8,
      fill: 'none',
    })
    inside += textAt(textX, labelY, mark.label, { 'text-anchor': left ? 'end' : 'start' })
    labelY += 15
  }
  inside += scaleBarMarks(8, height - 8, pxPerMm, 90)
  return picture(width, height, section.label, inside)
}
