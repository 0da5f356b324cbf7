// The height log in letters: one column a track, one row a band of height, topmost first, as the figure stands.

import type { Track } from '../engine/examine/index.ts'
import { numberWords } from '../guide/index.ts'
import { wrap } from './help.ts'

/** Eighths of a block, from empty to full. */
const EIGHTHS = ['', '▏', '▎', '▍', '▌', '▋', '▊', '▉', '█']
const N_ROWS = 10
/** Width of the bar and of the number beside it, characters; one more for the mark beyond a limit, one to the next column. */
const BAR = 4
const NUMBER = 6
const COLUMN = BAR + NUMBER + 2
/** Width of a number that stands beside a track without a bar. */
const BESIDE = 9

/** The layer of from..to-1 that matters: the worst against the limit, else the greatest value; -1 when there is none. */
const tellingLayer = ({ values, limit }: Track, from: number, to: number): number => {
  let telling = -1
  for (let i = from; i < to; i++) {
    const value = values[i]
    if (!Number.isFinite(value)) continue
    if (telling < 0 || (limit?.bad === 'below' ? value < values[telling] : value > values[telling])) telling = i
  }
  return telling
}

/** The value of that layer; NaN when there is none. */
export const tellingValue = (track: Track, from: number, to: number): number =>
  track.values[tellingLayer(track, from, to)] ?? Number.NaN

const isBeyond = ({ limit }: Track, value: number): boolean =>
  limit !== undefined && (limit.bad === 'below' ? value < limit.value : value > limit.value)

const bar = ({ from, to }: Track, value: number): string => {
  const share = Math.min(1, Math.max(0, (value - from) / (to - from)))
  const eighths = Math.round(share * BAR * 8)
  return '█'.repeat(eighths >> 3) + EIGHTHS[eighths & 7]
}

const numberOf = ({ decimals }: Track, value: number): string =>
  Number.isInteger(value) && decimals === 0 ? String(value) : numberWords(value)

const trackCell = (track: Track, from: number, to: number): string => {
  const value = tellingValue(track, from, to)
  if (Number.isNaN(value)) return `${' '.repeat(BAR)}${'–'.padStart(NUMBER)}  `
  const number = numberOf(track, value).padStart(NUMBER)
  return `${bar(track, value).padEnd(BAR)}${number}${isBeyond(track, value) ? '!' : ' '} `
}

/** The other line of a track at the layer that its own cell tells. */
const besideCell = (track: Track, other: Float64Array, from: number, to: number): string => {
  const value = other[tellingLayer(track, from, to)] ?? Number.NaN
  return `${(Number.isNaN(value) ? '–' : numberOf(track, value)).padStart(BESIDE - 2)}  `
}

/** One column: its head, unit last, and its cell in a band of layers. */
interface Column {
  readonly width: number
  readonly head: readonly string[]
  readonly cell: (from: number, to: number) => string
}

const cut = (text: string, width: number): string => (text.length > width ? `${text.slice(0, width - 1)}…` : text)

const headOf = (name: string, unit: string, width: number): string[] =>
  [...wrap(name, 0, width - 1), unit].filter(Boolean).map((line) => cut(line, width - 1))

/** The columns of a track: its own, and the line that it is held against. */
const columnsOf = (track: Track): Column[] => {
  const { question, unit, other } = track
  const own = {
    width: COLUMN,
    head: headOf(question, unit, COLUMN),
    cell: (a: number, b: number) => trackCell(track, a, b),
  }
  if (!other) return [own]
  const head = headOf(other.label, unit, BESIDE)
  return [own, { width: BESIDE, head, cell: (a, b) => besideCell(track, other.values, a, b) }]
}

/** Tracks in blocks that are at most so wide; a track and the line beside it stay together. */
const blocksOf = (tracks: readonly Track[], width: number): Column[][] => {
  const blocks: Column[][] = [[]]
  let free = width
  for (const track of tracks) {
    const columns = columnsOf(track)
    const need = columns.reduce((sum, column) => sum + column.width, 0)
    if (need > free && blocks[blocks.length - 1].length > 0) {
      blocks.push([])
      free = width
    }
    blocks[blocks.length - 1].push(...columns)
    free -= need
  }
  return blocks
}

/** Lines of the log, at most `width` wide; tracks beyond that width stand in a second block below. */
export const heightLogText = (tracks: readonly Track[], faceZ: ArrayLike<number>, width: number): string[] => {
  const nLayers = faceZ.length - 1
  const nRows = Math.min(N_ROWS, nLayers)
  const lines: string[] = []
  for (const block of blocksOf(tracks, width - 6 + 1)) {
    if (lines.length > 0) lines.push('')
    const nHeadLines = Math.max(...block.map(({ head }) => head.length))
    for (let i = 0; i < nHeadLines; i++) {
      // Short heads stand low, on their column.
      const cells = block.map(({ head, width: wide }) => (head[i - nHeadLines + head.length] ?? '').padEnd(wide))
      lines.push(`${i === nHeadLines - 1 ? '   mm' : '     '} ${cells.join('')}`.trimEnd())
    }
    for (let row = nRows - 1; row >= 0; row--) {
      const from = Math.floor((row * nLayers) / nRows)
      const to = Math.floor(((row + 1) * nLayers) / nRows)
      const mm = faceZ[from].toFixed(1).padStart(5)
      lines.push(`${mm} ${block.map(({ cell }) => cell(from, to)).join('')}`.trimEnd())
    }
  }
  const limits = tracks.flatMap(({ question, unit, limit }) =>
    limit ? [`${question}: ${limit.bad} ${numberWords(limit.value)} ${unit}`.trimEnd()] : [],
  )
  if (limits.length > 0) lines.push(...wrap(`! ${limits.join('; ')}`, 0, width))
  return lines
}
