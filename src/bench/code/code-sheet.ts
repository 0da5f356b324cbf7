// The sheet of a print file: the same parts that a figure has, made from the beads that the file lays.

import {
  type CodeDifference,
  type CodeExamination,
  codeReport,
  type Examination,
  type ExamineSettings,
  type Summary,
} from '../../engine/examine/index.ts'
import type { Finding, Severity } from '../../engine/findings/index.ts'
import { layerAtHeight } from '../../engine/kernel/index.ts'
import type { LayerStack } from '../../engine/sections/index.ts'
import type { PrintFacts, SheetParts } from '../messages.ts'
import { codeTracks } from './code-tracks.ts'

/** From this weight on a difference counts as one that shows. */
const SHOWS = 0.08

/** Moves that bring the file's coordinates to those of the figure, or its own middle to the axis. */
const shiftOf = (code: CodeExamination, stack: LayerStack): readonly [number, number] => {
  if (code.placement && code.outlines === 'the figure') return [-code.placement.dx, -code.placement.dy]
  let [x0, y0, x1, y1] = [Infinity, Infinity, -Infinity, -Infinity]
  for (let i = 0; i < stack.points.length; i += 2) {
    x0 = Math.min(x0, stack.points[i])
    x1 = Math.max(x1, stack.points[i])
    y0 = Math.min(y0, stack.points[i + 1])
    y1 = Math.max(y1, stack.points[i + 1])
  }
  return [-(x0 + x1) / 2, -(y0 + y1) / 2]
}

const shifted = (points: ArrayLike<number>, stride: number, [dx, dy]: readonly [number, number]): Float64Array => {
  const out = new Float64Array((2 * points.length) / stride)
  for (let i = 0; i < out.length / 2; i++) {
    out[2 * i] = points[stride * i] + dx
    out[2 * i + 1] = points[stride * i + 1] + dy
  }
  return out
}

const beadFacts = (code: CodeExamination, shift: readonly [number, number], infillShare: number): PrintFacts => {
  const { plan, timeline, balance, strings } = code
  return {
    layerStart: plan.layerStart,
    beadStart: plan.beadStart,
    points: Float32Array.from(shifted(plan.points, 3, shift)),
    pointWidth: plan.pointWidth,
    role: plan.role,
    island: plan.island,
    width: plan.width,
    height: plan.height,
    volume: Float32Array.from(plan.volume),
    report: null,
    layerTypedS: timeline.layerTypedS,
    layerRealS: timeline.layerRealS,
    laidMm3: balance?.laidMm3 ?? new Float64Array(plan.nLayers),
    overflowMm3: balance?.overflowMm3 ?? new Float64Array(plan.nLayers),
    surplusAt: new Float64Array(2 * plan.nLayers),
    surplusMm: new Float64Array(plan.nLayers),
    surplusCause: new Uint8Array(plan.nLayers),
    strings: {
      nCrossings: 0,
      layerCrossings: strings?.layerCrossings ?? new Uint32Array(plan.nLayers),
      layerThreads: strings?.layerThreads ?? new Uint32Array(plan.nLayers),
      layer: new Uint32Array(0),
      cause: new Uint8Array(0),
      at: new Float64Array(0),
    },
    flowShare: code.flowShare,
    infillShare,
  }
}

/** One difference as a finding, so that it is flagged, scrubbed to and listed like any other. */
const differenceFinding = (d: CodeDifference, code: CodeExamination, faceZ: Float64Array): Finding => {
  const middle = (d.fromMm + d.toMm) / 2
  const severity: Severity = d.weight >= SHOWS ? 'marks' : 'note'
  return {
    id: `differs ${d.id}`,
    rule: 'differs from the plan',
    severity,
    title: d.words.charAt(0).toUpperCase() + d.words.slice(1),
    place: {
      fromMm: d.fromMm,
      toMm: d.toMm,
      point: [0, 0, middle],
      areaMm2: 0,
      fromLayer: layerAtHeight(faceZ, d.fromMm),
      toLayer: layerAtHeight(faceZ, Math.max(d.fromMm, d.toMm - 1e-6)),
    },
    evidence: [
      { label: 'in the file', value: d.file, unit: d.unit },
      { label: 'in the plan', value: d.plan, unit: d.unit },
    ],
    certainty: code.certainty.roles,
    why: `The plan is the one that this bench makes of the figure with the settings shown; the file was read word by word, its beads from moves that push filament. Layers: ${code.certainty.layers.cause}. Widths: ${code.certainty.widths.cause}.`,
    remedies: [],
  }
}

interface Fault {
  readonly id: string
  readonly is: boolean
  readonly severity: Severity
  readonly title: string
  readonly value: number
  readonly limit: number
  readonly unit: string
  readonly label: string
  readonly why: string
}

const sum = (values: ArrayLike<number>): number => {
  let all = 0
  for (let i = 0; i < values.length; i++) all += values[i]
  return all
}

/** What stands against the file by itself, without any plan. */
const ownFindings = (
  code: CodeExamination,
  { printer }: ExamineSettings,
  topMm: number,
  nLayers: number,
): Finding[] => {
  const most = code.melt.layerMost.reduce((a, b) => Math.max(a, b), 0)
  const limit = Math.min(code.melt.cardMm3PerS, code.melt.conductionMm3PerS)
  const threads = code.strings ? sum(code.strings.layerThreads) : 0
  const surplus = code.balance ? 100 * code.balance.totals.overflowShare : 0
  const faults: Fault[] = [
    {
      id: 'fit',
      is: !code.fit.fitsBed || !code.fit.fitsHeight,
      severity: 'breaks',
      title: 'The print does not fit the machine',
      value: Math.max(code.fit.widthMm, code.fit.depthMm, code.fit.heightMm),
      limit: Math.min(printer.bedXMm, printer.bedYMm),
      unit: 'mm',
      label: 'longest side',
      why: 'Extent of all beads against the bed and height of the printer card.',
    },
    {
      id: 'melt',
      is: code.melt.nBeadsOver > 0,
      severity: 'breaks',
      title: `${code.melt.nBeadsOver} beads ask for more plastic than the nozzle melts`,
      value: most,
      limit,
      unit: 'mm3/s',
      label: 'highest melt rate',
      why: 'Volume of a bead over its time, against what a round bar of filament lets through before its core is warm (Fourier number 0.2) and what the printer card allows.',
    },
    {
      id: 'gear',
      is: code.gear.most > code.gear.mostAllowed,
      severity: 'marks',
      title: `One piece of filament passes the feed gear ${code.gear.most} times`,
      value: code.gear.most,
      limit: code.gear.mostAllowed,
      unit: '',
      label: 'gear passes',
      why: 'Counted from the length of every retraction and the filament used between them.',
    },
    {
      id: 'surplus',
      is: surplus > 1,
      severity: 'marks',
      title: `${surplus.toFixed(1)} % of the plastic has no room`,
      value: surplus,
      limit: 1,
      unit: '%',
      label: 'surplus',
      why: `Volume of the beads against the room between the outlines, weighed against ${code.outlines ?? 'nothing'}.`,
    },
    {
      id: 'threads',
      is: threads > 0,
      severity: 'marks',
      title: `${threads} travels over open air leave a thread`,
      value: threads,
      limit: 0,
      unit: '',
      label: 'threads',
      why: 'Travels over open air that carry surplus along or through which pressure left in the nozzle pushes plastic out.',
    },
    {
      id: 'malformed',
      is: code.nMalformed > 0,
      severity: 'note',
      title: `${code.nMalformed} lines could not be carried out`,
      value: code.nMalformed,
      limit: 0,
      unit: '',
      label: 'lines',
      why: code.malformed
        .slice(0, 4)
        .map(({ message }) => message)
        .join(' '),
    },
    {
      id: 'not-followed',
      is: code.notFollowed.length > 0,
      severity: 'note',
      title: `${code.notFollowed.length} kinds of words set something that is not followed here`,
      value: code.notFollowed.length,
      limit: 0,
      unit: '',
      label: 'kinds of words',
      why: code.notFollowed.map(({ word, count, effect }) => `${word} (${count}): ${effect}.`).join(' '),
    },
  ]
  return faults
    .filter(({ is }) => is)
    .map(({ id, severity, title, value, limit: bound, unit, label, why }) => ({
      id: `file ${id}`,
      rule: 'of the file itself',
      severity,
      title,
      place: { fromMm: 0, toMm: topMm, point: [0, 0, topMm / 2], areaMm2: 0, fromLayer: 0, toLayer: nLayers - 1 },
      evidence: [{ label, value, unit, ...(bound > 0 ? { limit: bound } : {}) }],
      certainty: code.certainty.roles,
      why,
      remedies: [],
    }))
}

const verdictOf = (code: CodeExamination, own: readonly Finding[], differences: readonly Finding[]): string => {
  const against = own.filter(({ severity }) => severity === 'breaks' || severity === 'marks')
  const first = against.length ? `${against[0].title}.` : 'Nothing in the file itself stands against printing it.'
  if (!code.differences) return first
  const shows = differences.filter(({ severity }) => severity === 'marks')
  if (!code.placement) return `${first} It does not seem to be a print of the figure that is shown.`
  return shows.length
    ? `${first} It differs from the plan in ${shows.length} ways that show; the gravest: ${code.differences[0].words}.`
    : `${first} It is laid as the plan would be, or nearly so.`
}

const summaryOf = (code: CodeExamination, verdict: string, topMm: number, of: Summary | null): Summary => ({
  name: code.name,
  soleToEyeMm: of?.soleToEyeMm ?? Number.NaN,
  totalHeightMm: topMm,
  volumeMm3: code.volumeMm3,
  nLayers: code.plan.nLayers,
  massG: code.massG,
  printS: code.times.printS,
  steps: null,
  verdict,
  assumed: [...code.assumed, ...code.decisions, ...code.leftOut],
})

/** Parts of the sheet of a print file; null where its layers do not build one thing upwards. @param of the figure it was held against */
export const codeSheet = (
  code: CodeExamination,
  settings: ExamineSettings,
  of: Examination | null,
): SheetParts | null => {
  const stack = code.outlines === 'the figure' && of ? of.layers : code.stack
  if (!stack || !code.stack || stack.nLayers !== code.plan.nLayers) return null
  const isOfFigure = code.placement !== null && of !== null
  const shift = shiftOf(code, code.stack)
  const layers = stack === code.stack ? { ...stack, points: shifted(stack.points, 2, shift) } : stack
  const topMm = layers.faceZ[layers.nLayers]
  const own = ownFindings(code, settings, topMm, layers.nLayers)
  // Held against another figure, nothing but that is worth telling.
  const told = isOfFigure ? (code.differences ?? []) : (code.differences ?? []).filter(({ id }) => id === 'figure')
  const differences = told.map((d) => {
    const toMm = Math.min(d.toMm, topMm)
    return differenceFinding({ ...d, toMm, fromMm: Math.min(d.fromMm, toMm) }, code, layers.faceZ)
  })
  const report = codeReport(code)
  return {
    settings,
    layers,
    tracks: codeTracks(code, settings, layers.faceZ, isOfFigure ? of : null),
    findings: [...own, ...differences].sort(
      (a, b) => 'breaks marks costs note'.indexOf(a.severity) - 'breaks marks costs note'.indexOf(b.severity),
    ),
    summary: summaryOf(code, verdictOf(code, own, differences), topMm, isOfFigure ? of.summary : null),
    printed: beadFacts(code, shift, settings.recipe.infillShare),
    code: report,
  }
}
