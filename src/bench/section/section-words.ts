// The section at one height in words and marks: what is there, how thin, how many shells, what is lost.

import type { LayerStack } from '../../engine/sections/index.ts'
import type { PlanMark } from '../../picture/index.ts'
import { shown } from '../../picture/index.ts'
import type { SheetParts } from '../messages.ts'
import { lengthWords } from '../units.ts'
import { beadWords, layerBeadWords, layerWords } from './bead-words.ts'

export interface SectionReading {
  readonly title: string
  /** One line about the whole layer. */
  readonly whole: string
  /** One line a piece, largest first. */
  readonly pieces: readonly string[]
  readonly marks: readonly PlanMark[]
}

/** Outlines of one layer, as the pictures take them. */
export const planOf = (layers: LayerStack, layer: number) => ({
  loopStart: layers.loopStart,
  points: layers.points,
  fromLoop: layers.layerStart[layer],
  toLoop: layers.layerStart[layer + 1],
})

const MOST_PIECES = 5
const MOST_MARKS = 5
/** A number with its word. */
export const count = (n: number, one: string, many: string): string => `${n} ${n === 1 ? one : many}`

/** Surplus from which its place is marked though no finding names it: share of what is laid, and height, mm. */
const MARKED_SURPLUS = 0.01
const MARKED_SURPLUS_MM = 0.01

/** Reads the section of a layer. Needs the layers; the rest is said as far as it is known. */
export const readSection = (parts: SheetParts, layer: number): SectionReading | null => {
  const { layers, relations, outlineThickness, shellFit, vanishing, printed, findings } = parts
  if (!layers || layer < 0) return null
  const islands: number[] = []
  for (let i = layers.islandStart[layer]; i < layers.islandStart[layer + 1]; i++) islands.push(i)
  islands.sort((a, b) => layers.islandArea[b] - layers.islandArea[a])
  const areaMm2 = islands.reduce((sum, i) => sum + layers.islandArea[i], 0)
  const lost = (vanishing ?? []).filter(({ fromLayer, toLayer }) => fromLayer <= layer && layer <= toLayer)
  const beadMm = parts.settings?.beadWidthMm ?? 0.4
  const marks: PlanMark[] = []

  const pieces = islands.slice(0, MOST_PIECES).map((i) => {
    const words = [`${shown(layers.islandArea[i], layers.islandArea[i] < 10 ? 2 : 1)} mm²`]
    const thinnest = outlineThickness?.islandThinnest[i]
    if (thinnest !== undefined && Number.isFinite(thinnest)) {
      const fits = shellFit ? shellFit.atThinnest[i] : Number.NaN
      words.push(
        `${shown(thinnest, 2)} mm at its thinnest` +
          (Number.isFinite(fits)
            ? `, where ${fits === 0 ? 'no shell fits' : count(fits, 'shell fits', 'shells fit')}`
            : ''),
      )
      if (outlineThickness && thinnest < 3 * beadMm)
        marks.push({
          kind: 'thin',
          x: outlineThickness.islandThinnestAt[2 * i],
          y: outlineThickness.islandThinnestAt[2 * i + 1],
          // The ring shows the place on the outline; the width is in its words.
          radiusMm: Math.min(thinnest / 2, 0.25),
          label: `${shown(thinnest, 2)} mm thin`,
        })
    }
    if (relations?.startsInAir[i]) {
      words.push('starts in mid air')
      const loop = layers.islandLoop[i]
      const at = layers.loopStart[loop]
      marks.unshift({
        kind: 'air',
        x: layers.points[2 * at],
        y: layers.points[2 * at + 1],
        radiusMm: Math.sqrt(layers.islandArea[i] / Math.PI),
        label: 'starts in mid air',
      })
    }
    return printed?.report ? `${beadWords(printed, layer, i)}; ${words.join(', ')}` : words.join(', ')
  })
  if (printed && !printed.report) pieces.unshift(`as the file lays it: ${layerBeadWords(printed, layer)}`)
  if (islands.length > MOST_PIECES) pieces.push(`and ${islands.length - MOST_PIECES} smaller pieces`)
  for (const { at, lengthMm, widthMm } of lost)
    marks.unshift({
      kind: 'lost',
      x: at[0],
      y: at[1],
      radiusMm: lengthMm / 2,
      label: `lost: ${shown(lengthMm, 1)} × ${shown(widthMm, 2)} mm`,
    })

  const words = [
    `layer ${layer + 1} of ${layers.nLayers}`,
    count(islands.length, 'piece', 'pieces'),
    `${shown(areaMm2, areaMm2 < 10 ? 2 : 1)} mm²`,
  ]
  if (printed) {
    words.push(...layerWords(printed, layer))
    const number = (findings ?? []).findIndex(
      ({ rule, place }) => rule === 'surplus' && place.fromLayer <= layer && layer <= place.toLayer,
    )
    const share = printed.overflowMm3[layer] / printed.laidMm3[layer]
    if (printed.surplusMm[layer] > MARKED_SURPLUS_MM && (number >= 0 || share > MARKED_SURPLUS))
      marks.unshift({
        kind: 'surplus',
        x: printed.surplusAt[2 * layer],
        y: printed.surplusAt[2 * layer + 1],
        radiusMm: 0.4,
        label: `stands ${shown(printed.surplusMm[layer], 2)} mm proud`,
        ...(number >= 0 ? { flag: { number: number + 1, severity: findings![number].severity } } : {}),
      })
  }
  const reach = relations?.unsupportedMm[layer]
  if (reach !== undefined && reach > 0.005) words.push(`reaches ${shown(reach, 2)} mm beyond the layer below`)
  return {
    title: `Section at ${lengthWords(layers.cutZ[layer], 2)}`,
    whole: words.join(' · '),
    pieces,
    marks: marks.slice(0, MOST_MARKS),
  }
}
