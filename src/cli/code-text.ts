// What a print file does, in a terminal: what it lays down, how long it takes, where the plastic goes, what was not understood.

import type { CodeDifference, CodeReport, LayerFacts } from '../engine/examine/index.ts'
import type { Issue } from '../engine/kernel/index.ts'
import { durationWords, numberWords } from '../guide/index.ts'
import { wrap } from './help.ts'
import { placeOf } from './issue-words.ts'
import { type Ink, tame } from './terminal.ts'

/** Bands of height in the table, and entries of a list, unless all are wanted. */
const N_BANDS = 10
const N_LISTED = 6

const counted = (n: number, what: string): string => `${n} ${what}${n === 1 ? '' : 's'}`
const percent = (share: number): string => `${numberWords(100 * share)} %`
const indented = (text: string): string[] => {
  const [first = '', ...rest] = wrap(tame(text), 4)
  return [`  ${first.slice(4)}`, ...rest]
}
const part = (title: string, lines: readonly string[], ink: Ink): string[] =>
  lines.length > 0 ? ['', ink.strong(title), ...lines] : []

/** The first few of a list, and how many are left out. */
const listed = <T>(items: readonly T[], isAll: boolean, line: (item: T) => string[], n = items.length): string[] => {
  const shown = isAll ? items : items.slice(0, N_LISTED)
  const more = n - shown.length
  return [...shown.flatMap(line), ...(more > 0 ? [`  ${more} more${isAll ? '' : '; --all lists them'}`] : [])]
}

const headline = (code: CodeReport): string[] => {
  const { layers, massG, times } = code
  const heights = [...layers.heightMm].slice(1).sort((a, b) => a - b)
  const usual = heights[heights.length >> 1] ?? layers.heightMm[0]
  const first = layers.heightMm[0]
  const steps = Math.abs(first - usual) > 1e-6 ? `, the first ${numberWords(first)} mm` : ''
  return wrap(
    [
      `${layers.nLayers} ${layers.nLayers === 1 ? 'layer' : 'layers'} of ${numberWords(usual)} mm${steps}`,
      `${numberWords(layers.topZ.reduce((most, z) => Math.max(most, z), 0))} mm tall`,
      `${numberWords(massG)} g`,
      `${durationWords(times.printS)} of printing`,
    ].join(' · '),
  )
}

const roleLines = ({ roles }: CodeReport): string[] => [
  `  ${''.padEnd(16)}${'beads'.padStart(8)}${'length'.padStart(11)}${'plastic'.padStart(13)}${'width'.padStart(11)}`,
  ...roles.map(
    ({ role, n, lengthMm, volumeMm3, widthMm }) =>
      `  ${role.padEnd(16)}${String(n).padStart(8)}${`${numberWords(lengthMm / 1000)} m`.padStart(11)}` +
      `${`${numberWords(volumeMm3)} mm3`.padStart(13)}${(widthMm > 0 ? `${widthMm.toFixed(3)} mm` : '–').padStart(11)}`,
  ),
]

const setLines = (code: CodeReport): string[] => {
  const known = (value: number, text: string): string[] => (Number.isNaN(value) ? [] : [text])
  const set = [
    ...known(code.outerSpeedMmPerS, `outer shells ${numberWords(code.outerSpeedMmPerS)} mm/s`),
    ...known(code.otherSpeedMmPerS, `other beads ${numberWords(code.otherSpeedMmPerS)} mm/s`),
    `flow ${percent(code.flowShare)}`,
    ...known(code.nozzleC, `nozzle ${numberWords(code.nozzleC)} deg C`),
    ...known(code.bedC, `bed ${numberWords(code.bedC)} deg C`),
    `fan ${percent(code.fanShare)}`,
  ]
  return indented(`Set: ${set.join(', ')}.`)
}

const timeLines = ({ times }: CodeReport): string[] => [
  ...indented(
    `Printing takes ${durationWords(times.printS)}: beads ${durationWords(times.beadsS)}, travels ${durationWords(times.travelsS)}, retractions ${durationWords(times.retractionsS)}, waits ${durationWords(times.waitsS)}.`,
  ),
  ...indented(
    `With heating up (${durationWords(times.heatingS)}), start (${durationWords(times.startS)}), cooling (${durationWords(times.coolingS)}) and removal (${durationWords(times.removalS)}) ${durationWords(times.totalS)}.`,
  ),
]

const plasticLines = (code: CodeReport): string[] => {
  const { balance, strings, gear, melt, fit } = code
  const lines: string[] = []
  if (balance)
    lines.push(
      `Weighed against the outlines of ${code.outlines}: ${percent(balance.totals.overflowShare)} has no room, ${percent(balance.totals.gapShare)} of what should be solid stays empty.`,
    )
  if (strings)
    lines.push(
      `Travels over open air: ${strings.nCrossings}, of which ${strings.layerThreads.reduce((a, b) => a + b, 0)} leave a thread.`,
    )
  lines.push(
    `${counted(code.nRetractions, 'retraction')}; one piece of filament passes the feed gear ${gear.most === 1 ? 'once' : `${gear.most} times`} at most (limit ${gear.mostAllowed}); ${numberWords(gear.filamentMm / 1000)} m of filament.`,
  )
  const most = melt.layerMost.reduce((a, b) => Math.max(a, b), 0)
  lines.push(
    `Highest melt rate ${numberWords(most)} mm3/s (limits ${numberWords(melt.cardMm3PerS)} by the card, ${numberWords(melt.conductionMm3PerS)} by heat conduction)${melt.nBeadsOver > 0 ? `; ${melt.nBeadsOver} beads are above it` : ''}.`,
  )
  lines.push(
    `${numberWords(fit.widthMm)} x ${numberWords(fit.depthMm)} mm in plan: ${fit.fitsBed ? 'fits the bed' : 'does NOT fit the bed'}; ${fit.fitsHeight ? 'the height fits, too' : 'it is TOO TALL for the machine'}.`,
  )
  return lines.flatMap(indented)
}

/** Rows of a table by height: sums and means over bands of layers, topmost first. */
const layerTable = (layers: LayerFacts, isAll: boolean): string[] => {
  const n = layers.nLayers
  const nRows = isAll ? n : Math.min(N_BANDS, n)
  const mean = (values: Float64Array, from: number, to: number): number => {
    const known = [...values.subarray(from, to)].filter((v) => !Number.isNaN(v))
    return known.length > 0 ? known.reduce((a, b) => a + b, 0) / known.length : Number.NaN
  }
  const rows = Array.from({ length: nRows }, (_, row) => {
    const from = Math.floor((row * n) / nRows)
    const to = Math.floor(((row + 1) * n) / nRows)
    const cells = [
      `${(layers.topZ[from] - layers.heightMm[from]).toFixed(1)}`,
      to - from > 1 ? `${from + 1}-${to}` : String(from + 1),
      numberWords(mean(layers.realS, from, to)),
      numberWords(mean(layers.typedS, from, to)),
      numberWords(mean(layers.volumeMm3, from, to)),
      numberWords(mean(layers.shells, from, to)),
      numberWords(mean(layers.widthMm, from, to)),
      numberWords(mean(layers.retractions, from, to)),
    ]
    return cells.map((text, i) => text.padStart(COLUMNS[i])).join('')
  })
  const heads = ['from mm', 'layers', 'real s', 'typed s', 'mm3', 'shells', 'width mm', 'retractions']
  return [heads.map((text, i) => text.padStart(COLUMNS[i])).join(''), ...rows.reverse()]
}
const COLUMNS = [9, 11, 9, 9, 9, 9, 10, 13]

const wordLines = (lines: readonly number[]): string =>
  `${lines.length === 1 ? 'line' : 'lines'} ${lines.slice(0, 6).join(', ')}${lines.length > 6 ? ' and more' : ''}`
const times = (n: number): string => (n === 1 ? 'once' : `${n} times`)

const strangeLines = (code: CodeReport, notes: readonly Issue[], isAll: boolean, ink: Ink): string[] => [
  ...part(
    'Lines that were not carried out',
    listed(code.malformed, isAll, ({ message }) => indented(message), code.nMalformed),
    ink,
  ),
  ...part(
    'Words that are not known',
    listed(code.unknown, isAll, ({ word, count, lines }) => indented(`${word}: ${times(count)}, ${wordLines(lines)}`)),
    ink,
  ),
  ...part(
    'Words that were not followed',
    listed(code.notFollowed, isAll, ({ word, count, lines, effect }) =>
      indented(`${word}: ${times(count)}, ${wordLines(lines)}; ${effect}`),
    ),
    ink,
  ),
  ...part(
    'Noted',
    notes.flatMap((note) => indented(`${note.message}${placeOf(note)}`)),
    ink,
  ),
]

const sureLines = ({ certainty }: CodeReport): string[] =>
  (['layers', 'widths', 'roles'] as const).flatMap((what) =>
    indented(`${what} ${Math.round(100 * certainty[what].share)} %: ${certainty[what].cause}`),
  )

/** Differences from the plan, worst first. */
const differenceLines = (differences: readonly CodeDifference[], isAll: boolean): string[] => {
  if (differences.length === 0) return ['  The file does what the plan asks: layers, plastic, time and beads agree.']
  const shown = isAll ? differences : differences.slice(0, 12)
  const more = differences.length - shown.length
  return [
    ...shown.flatMap(({ words }) => indented(words)),
    ...(more > 0 ? [`  ${more} smaller ones; --all lists them`] : []),
  ]
}

/** The part of a report that tells what the file does against the plan, for the examination of a figure. */
export const comparisonText = (code: CodeReport, notes: readonly Issue[], ink: Ink, isAll: boolean): string[] => [
  ink.strong(`Against the print file ${tame(code.name)}`),
  ...headline(code).map((line) => `  ${line}`),
  ...differenceLines(code.differences ?? [], isAll),
  ...(code.placement
    ? indented(
        `It stands ${numberWords(code.placement.dx)}, ${numberWords(code.placement.dy)} mm from the figure's own place; roles are ${Math.round(100 * code.certainty.roles.share)} % sure.`,
      )
    : []),
  ...strangeLines(code, notes, isAll, ink),
  '',
]

/** The whole report of a print file, ending with a line break. */
export const codeText = (code: CodeReport, notes: readonly Issue[], ink: Ink, isAll: boolean): string =>
  [
    ink.strong(tame(code.name)),
    ...headline(code),
    ...part('What it lays down', [...roleLines(code), ...setLines(code)], ink),
    ...part('How long it takes', timeLines(code), ink),
    ...part('Where the plastic goes', plasticLines(code), ink),
    ...part(isAll ? 'Layers' : 'Layers, by height (means of a layer)', layerTable(code.layers, isAll), ink),
    ...strangeLines(code, notes, isAll, ink),
    ...part('How sure that is', sureLines(code), ink),
    ...part('Decided and assumed', [...code.decisions, ...code.assumed, ...code.leftOut].flatMap(indented), ink),
    '',
  ].join('\n')
