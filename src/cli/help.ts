// Help and manual pages, made from the table of verbs; 80 columns wide.

import { EXIT_MEANING } from './exit-codes.ts'
import { COMMON_OPTIONS, type OptionRow, type VerbRow } from './verb-row.ts'
import { VERBS } from './verbs.ts'

export const WIDTH = 80

/** Breaks a text into lines of at most `width`, each after `indent` spaces. */
export const wrap = (text: string, indent = 0, width = WIDTH): string[] => {
  const lines: string[] = []
  let line = ''
  for (const word of text.split(/\s+/).filter(Boolean)) {
    if (line && indent + line.length + 1 + word.length > width) {
      lines.push(' '.repeat(indent) + line)
      line = word
    } else line = line ? `${line} ${word}` : word
  }
  if (line) lines.push(' '.repeat(indent) + line)
  return lines
}

/** Two columns: a short name, then wrapped text. */
const row = (name: string, text: string, at: number): string[] => {
  const lines = wrap(text, at)
  if (name.length + 2 >= at) return [`  ${name}`, ...lines]
  return [`  ${name}`.padEnd(at) + lines[0].trimStart(), ...lines.slice(1)]
}

const flagsOf = ({ long, short, value }: OptionRow): string =>
  `${short ? `-${short}, ` : '    '}--${long}${value ? ` ${value}` : ''}`

const meaningOf = ({ meaning, otherwise, choices }: OptionRow): string => {
  const named = choices && !choices.every((word) => meaning.includes(word)) ? `: ${choices.join(', ')}` : ''
  return `${meaning}${named}${otherwise ? ` (otherwise ${otherwise})` : ''}`
}

const optionRows = (options: readonly OptionRow[]): string[] =>
  options.flatMap((option) => row(flagsOf(option), meaningOf(option), 34))

const useLine = (verb: VerbRow): string =>
  ['fettle', verb.name, verb.options.length > 0 ? '[OPTIONS]' : '', verb.takes].filter(Boolean).join(' ')

const exitRows = (): string[] => EXIT_MEANING.flatMap(([code, meaning]) => row(String(code), meaning, 8))

const exampleRows = (verb: VerbRow): string[] =>
  verb.examples.flatMap(([line, meaning]) => [`  ${line}`, ...wrap(meaning, 6)])

/** Help when nothing is asked for: what it is, the verbs, two examples. */
export const shortHelp = (): string =>
  [
    'fettle examines a small figure before any plastic is melted.',
    '',
    'Use: fettle VERB [OPTIONS] [FILE...]',
    '',
    ...VERBS.flatMap((verb) => row(verb.name, verb.summary, 14)),
    '',
    'Examples',
    ...VERBS[0].examples.slice(0, 2).flatMap(([line, meaning]) => [`  ${line}`, `      ${meaning}`]),
    '',
    '"fettle help VERB" tells more; "fettle --version" prints the version.',
    '',
  ].join('\n')

/** Help of one verb. */
export const verbHelp = (verb: VerbRow): string =>
  [
    `Use: ${useLine(verb)}`,
    '',
    ...wrap(`${verb.summary[0].toUpperCase()}${verb.summary.slice(1)}.`),
    '',
    'Options',
    ...optionRows([...verb.options, ...COMMON_OPTIONS]),
    '',
    'Exit codes',
    ...exitRows(),
    '',
    'Examples',
    ...exampleRows(verb),
    '',
  ].join('\n')

const FILES: readonly string[] = [
  'crew:NAME is a figure of the night ferry that was built with fettle.',
  'Files are written under a temporary name and renamed when they are whole, so a stopped run leaves no half files.',
]

/** The manual page of one verb. */
export const manualPage = (verb: VerbRow): string => {
  const part = (title: string, lines: readonly string[]): string[] => [title, ...lines, '']
  return [
    ...part('NAME', wrap(`fettle ${verb.name}: ${verb.summary}`, 2)),
    ...part('SYNOPSIS', [`  ${useLine(verb)}`]),
    ...part(
      'DESCRIPTION',
      verb.manual.flatMap((text, i) => (i === 0 ? wrap(text, 2) : ['', ...wrap(text, 2)])),
    ),
    ...part('OPTIONS', optionRows([...verb.options, ...COMMON_OPTIONS])),
    ...part('EXIT STATUS', exitRows()),
    ...part(
      'FILES',
      FILES.flatMap((text) => wrap(text, 2)),
    ),
    ...part('EXAMPLES', exampleRows(verb)),
  ].join('\n')
}

/** All manual pages, one after the other. */
export const wholeManual = (): string => VERBS.map(manualPage).join(`\n${'-'.repeat(WIDTH)}\n\n`)
