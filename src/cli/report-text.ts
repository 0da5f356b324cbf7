// The examination in a terminal: headline, verdict, findings with numbers and remedies, the print, height log, cautions; 80 columns.

import type { Examination } from '../engine/examine/index.ts'
import { type Finding, remedyRank, type Severity } from '../engine/findings/index.ts'
import {
  CAUTIONS,
  certaintyWords,
  durationWords,
  effectWords,
  evidenceWords,
  heatRows,
  numberWords,
  placeWords,
  pointWords,
  printRows,
  strengthRows,
  surfaceRows,
} from '../guide/index.ts'
import { heightLogText } from './height-log-text.ts'
import { WIDTH, wrap } from './help.ts'
import { type Ink, tame } from './terminal.ts'

const INDENT = 5

/** Shapes of the severities, the same as on the sheet: filled triangle, diamond, square, circle. */
const SHAPE: Readonly<Record<Severity, string>> = { breaks: '▲', marks: '◇', costs: '□', note: '○' }

const indented = (text: string, indent = INDENT): string[] => wrap(tame(text), indent)
const cut = (text: string): string => (text.length > WIDTH ? `${text.slice(0, WIDTH - 1)}…` : text)

/** Findings told with numbers and remedies unless all are wanted: more than a screen of them is not read. */
const IN_FULL = 5
/** Remedies told of each of them. */
const REMEDIES = 2

const titleOf = (finding: Finding, number: number): string =>
  `${String(number).padStart(2)} ${SHAPE[finding.severity]} ${finding.severity}: ${tame(finding.title)}`

const headLines = (finding: Finding, number: number): string[] => {
  const title = indented(`${finding.severity}: ${finding.title}`)
  title[0] = `${String(number).padStart(2)} ${SHAPE[finding.severity]} ${title[0].slice(INDENT)}`
  return title
}

const remedyLines = (finding: Finding, ink: Ink): string[] =>
  finding.remedies.flatMap((remedy) => {
    const lines = indented(`${remedy.label}: ${effectWords(remedy)}`, INDENT + 3)
    lines[0] = `${' '.repeat(INDENT)}${ink.accent('->')} ${lines[0].slice(INDENT + 3)}`
    return lines
  })

/** Everything that is known of a finding. */
const fullLines = (finding: Finding, number: number, ink: Ink): string[] => [
  ...headLines(finding, number).map(ink.strong),
  ...indented(`${placeWords(finding)}; ${pointWords(finding)}`),
  ...indented(finding.evidence.map(evidenceWords).join('; ')),
  ...indented(finding.why).map(ink.faint),
  ...indented(certaintyWords(finding)).map(ink.faint),
  ...remedyLines(finding, ink),
  '',
]

/** Where, the gravest numbers, how sure, and the best remedies. */
const shortLines = (finding: Finding, number: number, ink: Ink): string[] => {
  const sure = `${Math.round(100 * finding.certainty.share)} % sure`
  const best = [...finding.remedies].sort((a, b) => remedyRank(a.effect) - remedyRank(b.effect))
  return [
    ...headLines(finding, number).map(ink.strong),
    ...indented(`${placeWords(finding)}; ${sure}; ${finding.evidence.slice(0, 3).map(evidenceWords).join('; ')}`),
    ...remedyLines({ ...finding, remedies: best.slice(0, REMEDIES) }, ink),
  ]
}

const allFindings = (findings: readonly Finding[], ink: Ink, isAll: boolean): string[] => {
  if (findings.length === 0) return ['Nothing was found that keeps this figure from coming out.', '']
  if (isAll) return [ink.strong('Findings'), '', ...findings.flatMap((finding, i) => fullLines(finding, i + 1, ink))]
  const full = findings.slice(0, IN_FULL).flatMap((finding, i) => shortLines(finding, i + 1, ink))
  const rest = findings.slice(IN_FULL).map((finding, i) => cut(titleOf(finding, IN_FULL + i + 1)))
  return [ink.strong('Findings'), ...full, ...rest, '--all tells every finding in full, with the reasons.', '']
}

/** Rows of name and words, the words wrapped behind the longest name. */
const rowLines = (rows: readonly (readonly [string, string])[]): string[] => {
  const at = 2 + Math.max(...rows.map(([name]) => name.length)) + 2
  return rows.flatMap(([name, words]) => {
    const [first = '', ...rest] = wrap(words, at)
    return [`  ${name}`.padEnd(at) + first.trimStart(), ...rest]
  })
}

const printLines = (examination: Examination, ink: Ink): string[] => {
  const rows = [
    ...printRows(examination),
    ...heatRows(examination),
    ...strengthRows(examination),
    ...surfaceRows(examination),
  ]
  return rows.length > 0 ? [ink.strong('The print'), ...rowLines(rows), ''] : []
}

const headline = ({ summary, settings }: Examination): string[] =>
  wrap(
    [
      `${numberWords(summary.soleToEyeMm)} mm from sole to eye line`,
      `${numberWords(summary.totalHeightMm)} mm tall`,
      `${numberWords(summary.volumeMm3)} mm3`,
      `${summary.nLayers} layers of ${numberWords(settings.layerHeightMm)} mm`,
      ...(summary.massG === null ? [] : [`${numberWords(summary.massG)} g`]),
      ...(summary.printS === null ? [] : [`${durationWords(summary.printS)} of printing`]),
    ].join(' · '),
  )

/** Assumptions, each on lines of its own, or run together where space counts. */
const assumedLines = (assumed: readonly string[], isAll: boolean): string[] =>
  isAll ? assumed.flatMap((text) => indented(text, 2)) : indented(assumed.join(' '), 2)

/**
 * The report as text that ends with a line break.
 * @param isAll tells every finding in full
 * @param beside lines to stand before the height log: what a print file does otherwise
 */
export const reportText = (
  examination: Examination,
  ink: Ink,
  isAll: boolean,
  beside: readonly string[] = [],
): string => {
  const { summary, findings, tracks, layers } = examination
  return [
    ink.strong(tame(summary.name)),
    ...headline(examination),
    '',
    ...indented(summary.verdict, 0),
    '',
    ...allFindings(findings, ink, isAll),
    ...printLines(examination, ink),
    ...beside,
    ink.strong('Height log'),
    ...heightLogText(tracks, layers.faceZ, WIDTH),
    '',
    ink.strong('Assumed'),
    ...assumedLines(summary.assumed, isAll),
    '',
    ink.strong('Cautions'),
    ...(isAll ? CAUTIONS.map((text) => `  ${text}`) : indented(CAUTIONS.join(' '), 2)),
    '',
  ].join('\n')
}
