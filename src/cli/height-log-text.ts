// The height log in letters: one column a track, one row a band of height, topmost first, as the figure stands.

import type { Track } from '../engine/examine/index.ts'
import { numberWords } from '../guide/index.ts'
import { wrap } from './help.ts'

/** Eighths of a block, from empty to full. */
const EIGHTHS = ['', '▏', '▎', '▍', '▌', '▋', '▊', '▉', '█']
const N_ROWS = 14
/** Width of the bar and of the number beside it, characters; one more for the mark beyond a limit. */
const BAR = 6
const NUMBER = 6
const COLUMN = BAR + NUMBER + 2

/** The value that matters in layers from..to-1: the worst against the limit, else the greatest; NaN when there is none. */
export const tellingValue = ({ values, limit }: Track, from: number, to: number): number => {
  let telling = Number.NaN
  for (let i = from; i < to; i++) {
    const value = values[i]
    if (!Number.isFinite(value)) continue
    if (Number.isNaN(telling) || (limit?.bad === 'below' ? value < telling : value > telling)) telling = value
  }
  return telling
}

const isBeyond = ({ limit }: Track, value: number): boolean =>
  limit !== undefined && (limit.bad === 'below' ? value < limit.value : value > limit.value)

const bar = ({ from, to }: Track, value: number): string => {
  const share = Math.min(1, Math.max(0, (value - from) / (to - from)))
  const eighths = Math.round(share * BAR * 8)
  return '█'.repeat(eighths >> 3) + EIGHTHS[eighths & 7]
}

const cell = (track: Track, from: number, to: number): string => {
  const value = tellingValue(track, from, to)
  if (Number.isNaN(value)) return `${' '.repeat(BAR)}${'–'.padStart(NUMBER)}  `
  const number = Number.isInteger(value) && track.decimals === 0 ? String(value) : numberWords(value)
  return `${bar(track, value).padEnd(BAR)}${number.padStart(NUMBER)}${isBeyond(track, value) ? '!' : ' '} `
}

const cut = (text: string, width: number): string => (text.length > width ? `${text.slice(0, width - 1)}…` : text)

/** Name and unit over a column, in four lines at most. */
const headLines = ({ quantity, unit }: Track): string[] => {
  const lines = wrap(quantity, 0, COLUMN - 1)
  const name = lines.length > 3 ? [lines[0], lines[1], lines.slice(2).join(' ')] : lines
  return [...name, unit].filter(Boolean).map((line) => cut(line, COLUMN - 1))
}

/** Lines of the log, at most `width` wide; tracks beyond that width stand in a second block below. */
export const heightLogText = (tracks: readonly Track[], faceZ: ArrayLike<number>, width: number): string[] => {
  const perBlock = Math.max(1, Math.floor((width - 6) / COLUMN))
  const nLayers = faceZ.length - 1
  const nRows = Math.min(N_ROWS, nLayers)
  const lines: string[] = []
  for (let first = 0; first < tracks.length; first += perBlock) {
    const block = tracks.slice(first, first + perBlock)
    if (first > 0) lines.push('')
    const heads = block.map(headLines)
    const nHeadLines = Math.max(...heads.map((head) => head.length))
    for (let i = 0; i < nHeadLines; i++) {
      // Short heads stand low, on their column.
      const cells = heads.map((head) => (head[i - nHeadLines + head.length] ?? '').padEnd(COLUMN))
      lines.push(`${i === nHeadLines - 1 ? '   mm' : '     '} ${cells.join('')}`.trimEnd())
    }
    for (let row = nRows - 1; row >= 0; row--) {
      const from = Math.floor((row * nLayers) / nRows)
      const to = Math.floor(((row + 1) * nLayers) / nRows)
      const mm = faceZ[from].toFixed(1).padStart(5)
      lines.push(`${mm} ${block.map((track) => cell(track, from, to)).join('')}`.trimEnd())
    }
  }
  const limits = tracks.flatMap(({ quantity, unit, limit }) =>
    limit ? [`${quantity}: ${limit.bad} ${numberWords(limit.value)} ${unit}`.trimEnd()] : [],
  )
  if (limits.length > 0) lines.push(...wrap(`! ${limits.join('; ')}`, 0, width))
  return lines
}
