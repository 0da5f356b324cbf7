// What a planned print comes to, as rows of name and words: grams, minutes, shells only, surplus, threads, gear passes.

import type { Examination } from '../engine/examine/index.ts'
import { durationWords, numberWords } from './words.ts'

type Print = NonNullable<Examination['print']>

/** Heights, joined to ranges, of the layers that a mark picks; ranges less than `apart` from each other become one. */
export const heightRanges = (
  isMarked: (layer: number) => boolean,
  faceZ: ArrayLike<number>,
  apart: number,
): readonly (readonly [number, number])[] => {
  const ranges: [number, number][] = []
  for (let layer = 0; layer + 1 < faceZ.length; layer++) {
    if (!isMarked(layer)) continue
    const last = ranges.at(-1)
    if (last && faceZ[layer] - last[1] <= apart) last[1] = faceZ[layer + 1]
    else ranges.push([faceZ[layer], faceZ[layer + 1]])
  }
  return ranges
}

const MOST_RANGES = 4
/** Ranges of height shorter than this are counted, not told, mm. */
const SHORT_MM = 0.5

const rangeWords = (ranges: readonly (readonly [number, number])[]): string => {
  const long = ranges.filter(([from, to]) => to - from >= SHORT_MM)
  const told = [...long].sort((a, b) => b[1] - b[0] - (a[1] - a[0])).slice(0, MOST_RANGES)
  const words = told
    .sort((a, b) => a[0] - b[0])
    .map(([from, to]) => `${from.toFixed(1)} to ${to.toFixed(1)}`)
    .join(', ')
  const more = ranges.length - told.length
  return `${words} mm${more > 0 ? ` and ${more} shorter ${more === 1 ? 'stretch' : 'stretches'}` : ''}`
}

const sum = (values: ArrayLike<number>): number => {
  let all = 0
  for (let i = 0; i < values.length; i++) all += values[i]
  return all
}

const timeWords = ({ timeline }: Print): string => {
  const { printS, heatingS, startS, coolingS, removalS, totalS } = timeline.totals
  return (
    `${durationWords(printS)}; with heating up ${durationWords(heatingS)}, start ${durationWords(startS)}, ` +
    `cooling ${durationWords(coolingS)} and removal ${durationWords(removalS)} (all assumed) ${durationWords(totalS)}`
  )
}

const layerWords = ({ timeline, recipe }: Print): string => {
  const { layerRealS, layerTypedS } = timeline
  let short = 0
  let least = Infinity
  for (let i = 0; i < layerRealS.length; i++) {
    // A layer without beads takes no time.
    if (layerRealS[i] <= 0) continue
    if (layerRealS[i] < recipe.leastLayerTimeS - 0.05) short++
    least = Math.min(least, layerRealS[i])
  }
  const ratio = sum(layerRealS) / Math.max(sum(layerTypedS), 1e-9)
  return (
    `${numberWords(ratio)} times what the typed speeds alone would take; ` +
    `${short} of ${layerRealS.length} layers take less than ${numberWords(recipe.leastLayerTimeS)} s, the shortest ${numberWords(least)} s`
  )
}

const shellWords = ({ report }: Print, faceZ: Float64Array): string => {
  const ranges = heightRanges((layer) => report.layerInfillArea[layer] <= 0, faceZ, 0.25)
  if (ranges.length === 0) return 'nowhere: every layer has infill'
  if (report.nLayersWithoutInfill === faceZ.length - 1) return 'everywhere: no layer has infill'
  return `${rangeWords(ranges)}, ${report.nLayersWithoutInfill} layers without infill`
}

/** Rows for the report and the sheet; none for an examination without a print. */
export const printRows = ({ print, layers }: Examination): readonly (readonly [string, string])[] => {
  if (!print) return []
  const { report, balance, steady, strings, gear, limit } = print
  const threads = sum(strings.layerThreads)
  const { overflowShare, gapShare } = balance.totals
  const most = limit.layerMost.reduce((a, b) => Math.max(a, b), 0)
  const flow = steady.exists ? 'keeps both within limits' : 'is the least evil'
  return [
    ['plastic', `${numberWords(report.massG)} g, priming loops included`],
    ['time', timeWords(print)],
    ['layer times', layerWords(print)],
    ['no infill', shellWords(print, layers.faceZ)],
    [
      'surplus',
      `${numberWords(100 * overflowShare)} % has no room, ${numberWords(100 * gapShare)} % of what should be solid stays empty; a flow of ${numberWords(100 * steady.bestShare)} % ${flow}`,
    ],
    ['threads', `${threads} of ${strings.nCrossings} travels over open air leave one`],
    [
      'filament',
      `${numberWords(gear.filamentMm / 1000)} m with ${gear.nRetractions} retractions; one piece passes the feed gear up to ${gear.most} times (limit ${gear.mostAllowed})`,
    ],
    [
      'melt rate',
      `up to ${numberWords(most)} mm³/s (limit ${numberWords(Math.min(limit.cardMm3PerS, limit.conductionMm3PerS))})`,
    ],
  ]
}
