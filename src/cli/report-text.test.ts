// The report in letters: 80 columns, marks beyond limits, nothing that a terminal would obey.
import { expect, test } from 'vitest'
import { sampleExamination } from '../../tests/examination-sample.ts'
import { heightLogText, tellingValue } from './height-log-text.ts'
import { wrap } from './help.ts'
import { reportText } from './report-text.ts'
import { BRIGHT_INK, inkFor, PLAIN_INK, tame } from './terminal.ts'

const examination = sampleExamination('Evil \u001b[2J name\u0007')

test('the report fits 80 columns and tames what comes from the file', () => {
  const text = reportText(examination, PLAIN_INK, false)
  expect(text.split('\n').filter((line) => line.length > 80)).toEqual([])
  // biome-ignore lint/suspicious/noControlCharactersInRegex: escape codes are what is looked for
  expect(text).not.toMatch(/[\u001b\u0007]/)
  expect(text).toContain('▲ breaks: The tip is thinner than two beads')
  expect(text).toContain('25.0 to 29.0 mm up, layers 26 to 29')
})

test('ink changes nothing but marks', () => {
  const bright = reportText(examination, BRIGHT_INK, false)
  // biome-ignore lint/suspicious/noControlCharactersInRegex: escape codes are what is looked for
  expect(bright.replace(/\u001b\[\d+m/g, '')).toBe(reportText(examination, PLAIN_INK, false))
})

test('the gravest findings are told with numbers and remedies, the others in a line each unless all are wanted', () => {
  const findings = Array.from({ length: 9 }, (_, i) => ({
    ...examination.findings[0],
    title: `finding ${i + 1}${i === 8 ? ' of which there is a great deal to say, far more than a line can hold' : ''}`,
  }))
  const short = reportText({ ...examination, findings }, PLAIN_INK, false)
  expect(short.match(/-> Print at 32 mm/g)).toHaveLength(5)
  for (const { title } of findings) expect(short).toContain(title.slice(0, 60))
  expect(short.split('\n').filter((line) => /^ [6-9] /.test(line))).toHaveLength(4)
  expect(short).toContain('--all')
  const long = reportText({ ...examination, findings }, PLAIN_INK, true)
  expect(long.match(/-> Print at 32 mm/g)).toHaveLength(9)
  expect(long).toContain('The largest circle inside the outline')
  expect(long).not.toContain('--all')
})

test('a band of height shows its worst layer, marked when beyond the limit', () => {
  const [area, thinnest, shells] = examination.tracks
  expect(tellingValue(area, 0, 3)).toBe(area.values[0])
  expect(tellingValue(shells, 24, 30)).toBe(Math.min(...shells.values.subarray(24, 30)))
  expect(tellingValue(thinnest, 3, 4)).toBeNaN()
  const lines = heightLogText(examination.tracks, examination.layers.faceZ, 80)
  expect(lines.some((line) => /^ ?\d+\.0 .*1!$/.test(line))).toBe(true)
  expect(lines.at(-1)).toMatch(/^! What is thinnest\?: below 0\.80 mm; .*: below 3$/)
})

test('more tracks than fit stand in a second block', () => {
  const many = Array.from({ length: 9 }, () => examination.tracks[0])
  const lines = heightLogText(many, examination.layers.faceZ, 80)
  expect(lines.filter((line) => line.startsWith('   mm'))).toHaveLength(2)
  expect(lines.filter((line) => line.length > 80)).toEqual([])
})

test('a line to hold a track against stands beside it, at the same layer, under a head of whole words', () => {
  const [area] = examination.tracks
  const real = Float64Array.from(area.values, (_, i) => 20 - (i % 3))
  const typed = Float64Array.from(real, (_, i) => i)
  const track = {
    ...area,
    question: 'how long a layer',
    unit: 's',
    values: real,
    other: { label: 'as typed', values: typed },
    limit: { label: 'least', value: 19, bad: 'below' as const },
  }
  const lines = heightLogText([track], examination.layers.faceZ, 80)
  expect(lines.slice(0, 3).map((line) => line.trim())).toEqual([
    'how long a',
    'layer       as typed',
    'mm s           s',
  ])
  // Three layers a band: the third takes least; its own typed time is shown.
  expect(lines[3]).toMatch(/18! +29$/)
  expect(lines[12]).toMatch(/18! +2$/)
})

test('text is broken between words; a longer word stands alone', () => {
  expect(wrap('one two three', 2, 9)).toEqual(['  one two', '  three'])
  expect(wrap('abcdefghijkl x', 0, 5)).toEqual(['abcdefghijkl', 'x'])
})

test('colour follows option, NO_COLOR, terminal, in this order', () => {
  expect(inkFor('auto', true, {})).toBe(BRIGHT_INK)
  expect(inkFor('auto', false, {})).toBe(PLAIN_INK)
  expect(inkFor('auto', true, { NO_COLOR: '1' })).toBe(PLAIN_INK)
  expect(inkFor('always', false, { NO_COLOR: '1' })).toBe(BRIGHT_INK)
  expect(inkFor('never', true, {})).toBe(PLAIN_INK)
  expect(tame('a\tb\nc\u009b31m')).toBe('a\tb\nc\uFFFD31m')
})
