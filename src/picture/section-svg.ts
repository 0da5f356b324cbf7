// The section at one height, in plan and to scale, in one ink: the beads laid there, what the layer below held, what is thin, lost,
// too much or drawn across the air.

import { type BeadsInPlan, beadMarks, type PlasticGrid, reachMarks } from './bead-marks.ts'
import { cividis } from './cividis.ts'
import { type FlagSeverity, flagMarks } from './flag-svg.ts'
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

/** A thin place, a lost piece, a start in mid air, or surplus: a ring with its label, and the number of its finding where there is one. */
export interface PlanMark {
  readonly kind: 'thin' | 'lost' | 'air' | 'surplus'
  readonly x: number
  readonly y: number
  /** Radius of what is marked, mm. */
  readonly radiusMm: number
  readonly label: string
  readonly flag?: { readonly number: number; readonly severity: FlagSeverity }
}

/** A quantity along the outlines: at points in order, mm; a step of more than `joinMm` begins a new line. */
export interface AlongOutline {
  readonly points: ArrayLike<number>
  readonly values: ArrayLike<number>
  readonly from: number
  readonly to: number
  readonly joinMm: number
}

export interface SectionPicture {
  readonly solid: LoopsInPlan
  /** Beads laid there; without them the section is hatched. */
  readonly beads?: BeadsInPlan
  /** Where they have too much plastic or too little. */
  readonly plastic?: PlasticGrid
  /** Travels over air that leave a thread, x1 y1 x2 y2 each, mm: only where threads are the finding. */
  readonly threads?: ArrayLike<number>
  /** A quantity along the outlines, in the colours of magnitudes. */
  readonly along?: AlongOutline
  /** Outlines of the layer below, drawn dashed. */
  readonly below?: LoopsInPlan
  /** Outlines of the sheet that this one is compared with, drawn dotted over everything. */
  readonly other?: LoopsInPlan
  /** Beads of that sheet: how far they reach lies tinted beneath, so that it shows where this one has none. */
  readonly otherBeads?: BeadsInPlan
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

/** Threads from end to end, dotted, with a point at either end. */
const threadMarks = (ends: ArrayLike<number>, toX: (mm: number) => number, toY: (mm: number) => number): string => {
  let d = ''
  let dots = ''
  for (let i = 0; i + 3 < ends.length; i += 4) {
    const from = `${px(toX(ends[i]))} ${px(toY(ends[i + 1]))}`
    const to = `${px(toX(ends[i + 2]))} ${px(toY(ends[i + 3]))}`
    d += `M${from}L${to}`
    dots += `M${from}h0M${to}h0`
  }
  const line = { fill: 'none', stroke: ACCENT, 'stroke-linecap': 'round' }
  return (
    element('path', { d, ...line, 'stroke-width': 1.2, 'stroke-dasharray': '0.1 3' }) +
    element('path', { d: dots, ...line, 'stroke-width': 4 })
  )
}

/** Steps of colour along an outline: one path for each keeps the picture small. */
const ALONG_STEPS = 24

/** The quantity as a broad line in the colours of magnitudes, on ink so that it stands out on any paper. */
const alongMarks = (along: AlongOutline, toX: (mm: number) => number, toY: (mm: number) => number): string => {
  const paths = new Array<string>(ALONG_STEPS).fill('')
  let whole = ''
  const n = along.values.length
  for (let i = 0; i + 1 < n; i++) {
    const [x0, y0, x1, y1] = [0, 1, 2, 3].map((k) => along.points[2 * i + k])
    const value = (along.values[i] + along.values[i + 1]) / 2
    if (!Number.isFinite(value) || Math.hypot(x1 - x0, y1 - y0) > along.joinMm) continue
    const share = (value - along.from) / (along.to - along.from)
    const step = Math.min(ALONG_STEPS - 1, Math.max(0, Math.floor(share * ALONG_STEPS)))
    const d = `M${px(toX(x0))} ${px(toY(y0))}L${px(toX(x1))} ${px(toY(y1))}`
    paths[step] += d
    whole += d
  }
  const line = { fill: 'none', 'stroke-linecap': 'round' }
  return (
    element('path', { d: whole, ...line, stroke: INK, 'stroke-width': 5.5 }) +
    paths
      .map((d, k) =>
        d ? element('path', { d, ...line, stroke: cividis((k + 0.5) / ALONG_STEPS), 'stroke-width': 4 }) : '',
      )
      .join('')
  )
}

/** A rectangle of the picture, px. */
interface PlanBox {
  readonly x0: number
  readonly y0: number
  readonly x1: number
  readonly y1: number
}

/** How many points of the outlines lie in a box. */
const pointsInside = (
  loops: LoopsInPlan,
  toX: (mm: number) => number,
  toY: (mm: number) => number,
  { x0, y0, x1, y1 }: PlanBox,
): number => {
  let n = 0
  for (let i = loops.loopStart[loops.fromLoop]; i < loops.loopStart[loops.toLoop]; i++) {
    const [x, y] = [toX(loops.points[2 * i]), toY(loops.points[2 * i + 1])]
    if (x >= x0 && x <= x1 && y >= y0 && y <= y1) n++
  }
  return n
}

const labelPx = ({ label, flag }: PlanMark): number => 10 + (flag ? 28 : 0) + 5.6 * label.length
const rowPx = ({ flag }: PlanMark): number => (flag ? 22 : 14)
/** The scale bar stands at the bottom left, px. */
const SCALE_BAR_PX = 26

/** Where the labels of one side begin: at the top, or at the bottom where less of the outline lies. */
const topOfLabels = (
  marks: readonly PlanMark[],
  isRight: boolean,
  width: number,
  height: number,
  taken: (box: PlanBox) => number,
): number => {
  const tall = marks.reduce((sum, mark) => sum + rowPx(mark), 8)
  const wide = Math.max(0, ...marks.map(labelPx))
  const [x0, x1] = isRight ? [width - wide, width] : [0, wide]
  const low = height - tall - (isRight ? 4 : SCALE_BAR_PX)
  const atTop = taken({ x0, x1, y0: 0, y1: tall })
  return atTop > 0 && low > tall && taken({ x0, x1, y0: low, y1: low + tall }) < atTop ? low : 4
}

/**
 * Rings round what is meant, each with a leader to its label at the nearer edge; labels stand where the outline leaves room,
 * in the order of their places, so that leaders do not cross.
 */
const labelledMarks = (
  marks: readonly PlanMark[],
  toX: (mm: number) => number,
  toY: (mm: number) => number,
  pxPerMm: number,
  width: number,
  height: number,
  taken: (box: PlanBox) => number,
): string => {
  let rings = ''
  let labels = ''
  for (const isRight of [false, true]) {
    const mine = marks.filter(({ x }) => toX(x) > width / 2 === isRight).sort((a, b) => b.y - a.y)
    let labelY = topOfLabels(mine, isRight, width, height, taken)
    for (const mark of mine) {
      const [x, y] = [toX(mark.x), toY(mark.y)]
      const r = Math.max(5, mark.radiusMm * pxPerMm + 2)
      labelY += rowPx(mark)
      const shift = mark.flag ? 28 : 0
      rings += element('circle', {
        cx: x,
        cy: y,
        r,
        fill: mark.kind === 'air' ? ACCENT : 'none',
        'fill-opacity': 0.16,
        stroke: ACCENT,
        'stroke-width': 1.8,
        'stroke-dasharray': mark.kind === 'lost' ? '2 2' : undefined,
      })
      const fromEdge = (distance: number) => (isRight ? width - distance : distance)
      const bend = fromEdge(labelPx(mark))
      const away = Math.atan2(labelY - 4 - y, bend - x)
      rings += element('path', {
        d: `M${px(x + r * Math.cos(away))} ${px(y + r * Math.sin(away))}L${px(bend)} ${px(labelY - 4)}`,
        stroke: ACCENT,
        'stroke-width': 0.8,
        fill: 'none',
      })
      labels += textAt(fromEdge(6 + shift), labelY, mark.label, {
        'text-anchor': isRight ? 'end' : 'start',
        // Paper round the letters, where an outline runs behind them all the same.
        stroke: PAPER,
        'stroke-width': 3,
        'stroke-linejoin': 'round',
        'paint-order': 'stroke',
      })
      if (mark.flag) labels += flagMarks(mark.flag.severity, mark.flag.number, fromEdge(18), labelY - 4, 20)
    }
  }
  return rings + labels
}

/** Where places of a section stand in its picture. */
export interface PlanScale {
  readonly pxPerMm: number
  readonly toX: (mm: number) => number
  readonly toY: (mm: number) => number
  /** Back from px to mm. */
  readonly fromX: (px: number) => number
  readonly fromY: (px: number) => number
}

/** Room round the section, px. */
const ROOM_PX = 34

type PlanBounds = NonNullable<ReturnType<typeof planBounds>>

/** Bounds that hold both. */
const widened = (a: PlanBounds, b: PlanBounds | null): PlanBounds =>
  b ? [Math.min(a[0], b[0]), Math.min(a[1], b[1]), Math.max(a[2], b[2]), Math.max(a[3], b[3])] : a

/**
 * The scale in which a section is drawn; null when there is nothing.
 * @param other outlines it is compared with, which must have room too
 */
export const planScale = (
  solid: LoopsInPlan,
  { widthPx, heightPx, mostPxPerMm = 50 }: SectionFrame,
  other?: LoopsInPlan,
): PlanScale | null => {
  const bounds = planBounds(solid)
  if (!bounds) return null
  const [x0, y0, x1, y1] = widened(bounds, other ? planBounds(other) : null)
  const fit = Math.min(
    (widthPx - 2 * ROOM_PX) / Math.max(x1 - x0, 0.4),
    (heightPx - 2 * ROOM_PX) / Math.max(y1 - y0, 0.4),
  )
  const pxPerMm = Math.min(preferredBelow(fit), mostPxPerMm)
  const [middleX, middleY] = [(x0 + x1) / 2, (y0 + y1) / 2]
  return {
    pxPerMm,
    toX: (mm) => widthPx / 2 + (mm - middleX) * pxPerMm,
    toY: (mm) => heightPx / 2 - 6 - (mm - middleY) * pxPerMm,
    fromX: (at) => (at - widthPx / 2) / pxPerMm + middleX,
    fromY: (at) => (heightPx / 2 - 6 - at) / pxPerMm + middleY,
  }
}

/** Draws the section. The scale is a preferred number of px per mm that lets it fit, so that it changes seldom while scrubbing. */
export const sectionSvg = (section: SectionPicture, frame: SectionFrame): string => {
  const scale = planScale(section.solid, frame, section.other)
  const { widthPx: width, heightPx: height } = frame
  if (!scale)
    return picture(
      width,
      height,
      section.label,
      textAt(width / 2, height / 2, 'Nothing is laid at this height.', {
        fill: FAINT,
        'text-anchor': 'middle',
      }),
    )
  const { pxPerMm, toX, toY } = scale

  let inside =
    `<pattern id="plan-hatch" width="5" height="5" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">` +
    `${element('path', { d: 'M0 0V5', stroke: INK, 'stroke-width': 1, 'stroke-opacity': 0.55 })}</pattern>`
  if (section.otherBeads) inside += reachMarks(section.otherBeads, toX, toY, pxPerMm)
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
  const beads = section.beads && section.beads.toBead > section.beads.fromBead ? section.beads : null
  if (beads) inside += beadMarks(beads, section.plastic, toX, toY, pxPerMm)
  inside += element('path', {
    d: solid,
    fill: beads ? 'none' : 'url(#plan-hatch)',
    'fill-rule': 'evenodd',
    stroke: INK,
    'stroke-width': beads ? 1 : 1.6,
    'stroke-linejoin': 'round',
  })
  if (section.along) inside += alongMarks(section.along, toX, toY)
  if (section.threads?.length) inside += threadMarks(section.threads, toX, toY)
  if (section.other)
    inside += element('path', {
      d: pathOf(section.other, toX, toY),
      fill: 'none',
      stroke: ACCENT,
      'stroke-width': 1.8,
      'stroke-linecap': 'round',
      'stroke-dasharray': '0.1 4',
    })
  const taken = (box: PlanBox): number => pointsInside(section.solid, toX, toY, box)
  inside += labelledMarks(section.marks, toX, toY, pxPerMm, width, height, taken)
  inside += scaleBarMarks(8, height - 8, pxPerMm, 90)
  return picture(width, height, section.label, inside)
}
