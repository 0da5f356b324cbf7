// The examination in a terminal: headline, verdict, findings with numbers and remedies, height log, cautions; 80 columns.

import type { Examination } from '../engine/examine/index.ts'
import type { Finding, Severity } from '../engine/findings/index.ts'
import {
  CAUTIONS,
  certaintyWords,
  effectWords,
  evidenceWords,
  numberWords,
  placeWords,
  pointWords,
} from '../guide/index.ts'
import { heightLogText } from './height-log-text.ts'
import { WIDTH, wrap } from './help.ts'
import { type Ink, tame } from './terminal.ts'

const INDENT = 5

/** Shapes of the severities, the same as on the sheet: filled triangle, diamond, square, circle. */
const SHAPE: Readonly<Record<Severity, string>> = { breaks: '▲', marks: '◇', costs: '□', note: '○' }

const indented = (text: string, indent = INDENT): string[] => wrap(tame(text), indent)

/** Findings told in full unless all are wanted: more than a screen of them is not read. */
const IN_FULL = 5

const headLines = (finding: Finding, number: number): string[] => {
  const title = indented(`${finding.severity}: ${finding.title}`)
  title[0] = `${String(number).padStart(2)} ${SHAPE[finding.severity]} ${title[0].slice(INDENT)}`
  return title
}

const findingLines = (finding: Finding, number: number, ink: Ink): string[] => {
  return [
    ...headLines(finding, number).map(ink.strong),
    ...indented(`${placeWords(finding)}; ${pointWords(finding)}`),
    ...indented(finding.evidence.map(evidenceWords).join('; ')),
    ...indented(finding.why).map(ink.faint),
    ...indented(certaintyWords(finding)).map(ink.faint),
    ...finding.remedies.flatMap((remedy) => {
      const lines = indented(`${remedy.label}: ${effectWords(remedy)}`, INDENT + 3)
      lines[0] = `${' '.repeat(INDENT)}${ink.accent('->')} ${lines[0].slice(INDENT + 3)}`
      return lines
    }),
    '',
  ]
}

const allFindings = (findings: readonly Finding[], ink: Ink, isAll: boolean): string[] => {
  if (findings.length === 0) return ['Nothing was found that keeps this figure from coming out.', '']
  const nFull = isAll || findings.length <= IN_FULL + 1 ? findings.length : IN_FULL
  const full = findings.slice(0, nFull).flatMap((finding, i) => findingLines(finding, i + 1, ink))
  const rest = findings.slice(nFull).flatMap((finding, i) => headLines(finding, nFull + i + 1))
  const more = rest.length > 0 ? [...rest, '', '--all tells these in full, too.', ''] : []
  return [ink.strong('Findings'), '', ...full, ...more]
}

/** The report as text that ends with a line break. With `isAll` every finding is told in full. */
export const reportText = (examination: Examination, ink: Ink, isAll: boolean): string => {
  const { summary, settings, findings, tracks, layers } = examination
  const facts = [
    `${numberWords(summary.soleToEyeMm)} mm from sole to eye line`,
    `${numberWords(summary.totalHeightMm)} mm tall`,
    `${numberWords(summary.volumeMm3)} mm3`,
    `${summary.nLayers} layers of ${numberWords(settings.layerHeightMm)} mm`,
  ]
  return [
    ink.strong(tame(summary.name)),
    ...wrap(facts.join(' · ')),
    '',
    ...indented(summary.verdict, 0),
    '',
    ...allFindings(findings, ink, isAll),
    ink.strong('Height log'),
    '',
    ...heightLogText(tracks, layers.faceZ, WIDTH),
    '',
    ink.strong('Assumed'),
    ...summary.assumed.flatMap((text) => indented(text, 2)),
    '',
    ink.strong('Cautions'),
    ...CAUTIONS.map((text) => `  ${text}`),
    '',
  ].join('\n')
}
