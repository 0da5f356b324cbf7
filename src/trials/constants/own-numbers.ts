// The person's own numbers: engine constants re-estimated from the record, cards that carry them, and the sentence for the sheet.

import { beadArea } from '../../engine/beads/index.ts'
import { breathe, type PolygonKit, partOf, type Task } from '../../engine/kernel/index.ts'
import type { FilamentCard, PrinterCard } from '../../recipe/index.ts'
import { pieceFor } from '../coupon/pieces.ts'
import type { TrialCards } from '../ladders.ts'
import { readingsFor } from '../plan-trial.ts'
import { successOf } from '../questions.ts'
import { LADDER_SETTINGS, type LadderSetting, type TrialsRecord } from '../types.ts'
import type { Estimate } from './estimate.ts'
import { estimateFanAir, forecastPosts, type PostRow } from './fan-air.ts'
import { estimateOozeTime, forecastPins, type PinRow } from './ooze-time.ts'
import { estimateWeldStrength, type SnappedRod } from './weld-strength.ts'

/** Constants that outcomes have something to say about; null where nothing was printed. */
export interface OwnNumbers {
  readonly kind: 'own-numbers'
  readonly fanAirMPerS: Estimate | null
  readonly oozeTimeConstantS: Estimate | null
  readonly acrossStrengthMPa: Estimate | null
  /** Plastic that really comes out as a share of what was asked for, from walls of one shell. */
  readonly feedShare: Estimate | null
}

/** Readings of a piece with a forecast for each level they stand at, worked out once. */
const forecastsFor = async <F>(
  record: TrialsRecord,
  piece: 'posts' | 'pins',
  cards: TrialCards,
  forecast: (setting: LadderSetting, level: number) => Promise<F>,
  task?: Task,
) => {
  const known = new Map<string, F>()
  const rows: { forecast: F; measure: string; value: number; of: number; good: number }[] = []
  for (const setting of LADDER_SETTINGS)
    for (const { reading } of readingsFor(record, piece, setting, cards)) {
      const success = successOf(reading, cards.recipe.beadWidthMm)
      if (!success || (reading.measure !== 'leaning' && reading.measure !== 'strings')) continue
      const key = `${setting} ${reading.level}`
      const found = known.get(key) ?? (await forecast(setting, reading.level))
      known.set(key, found)
      rows.push({
        forecast: found,
        measure: reading.measure,
        value: reading.value,
        of: success.tried,
        good: success.good,
      })
      await breathe(task)
    }
  return rows
}

/** Rods snapped with the recipe's own value of the setting, or, where there are none, all of them. */
const rodsOf = (record: TrialsRecord, cards: TrialCards): SnappedRod[] => {
  const { leverMm, diameterMm } = pieceFor('rods', cards).facts
  const all = LADDER_SETTINGS.flatMap((setting) =>
    readingsFor(record, 'rods', setting, cards)
      .filter(({ reading }) => reading.measure === 'snap' && reading.value > 0)
      .map(({ reading }) => ({ grams: reading.value, isOwn: Math.abs(reading.level - cards.recipe[setting]) < 1e-9 })),
  )
  const own = all.filter(({ isOwn }) => isOwn)
  return (own.length > 0 ? own : all).map(({ grams }) => ({ grams, leverMm, diameterMm }))
}

/** A wall's plastic is known this well, one deviation: calipers of 0.02 mm on 0.4 mm. */
const WALL_DEVIATION = 0.05
/** How far the feed may be off before anything was measured. */
const FEED_DEVIATION = 0.08

const feedOf = (record: TrialsRecord, cards: TrialCards): Estimate | null => {
  const { beadWidthMm, layerHeightMm } = cards.recipe
  const shares = readingsFor(record, 'box', 'flowShare', cards)
    .filter(({ reading }) => reading.measure === 'wall' && reading.value > layerHeightMm)
    .map(
      ({ reading }) => beadArea(reading.value, layerHeightMm) / (beadArea(beadWidthMm, layerHeightMm) * reading.level),
    )
  if (shares.length === 0) return null
  // Normal with known deviation: precisions add.
  const precision = FEED_DEVIATION ** -2 + shares.length * WALL_DEVIATION ** -2
  const value = (FEED_DEVIATION ** -2 + shares.reduce((a, b) => a + b, 0) * WALL_DEVIATION ** -2) / precision
  const half = 1.6449 / Math.sqrt(precision)
  return { value, low: value - half, high: value + half, card: 1, nReadings: shares.length }
}

/** Re-estimates what the record allows. Plans a row for every level that was printed: some tenths of a second each. */
export const estimateOwnNumbers = async (
  record: TrialsRecord,
  cards: TrialCards,
  kit: PolygonKit,
  task?: Task,
): Promise<OwnNumbers> => {
  const posts = await forecastsFor(
    record,
    'posts',
    cards,
    (setting, level) => forecastPosts(setting, level, cards, kit),
    partOf(task, 0, 0.5),
  )
  const pins = await forecastsFor(
    record,
    'pins',
    cards,
    (setting, level) => forecastPins(setting, level, cards, kit),
    partOf(task, 0.5, 1),
  )
  const postRows: PostRow[] = posts
    .filter(({ forecast }) => forecast.leastS.every((s) => s > 0))
    .map(({ forecast, good, of }) => ({ forecast, good, tried: of }))
  const pinRows: PinRow[] = pins
    .filter(({ measure }) => measure === 'strings')
    .map(({ forecast, value, of }) => ({ forecast, strings: value, pairs: of }))
  return {
    kind: 'own-numbers',
    fanAirMPerS: estimateFanAir(postRows, cards.printer.fanAirMPerS),
    oozeTimeConstantS: estimateOozeTime(pinRows, cards.printer.oozeTimeConstantS),
    acrossStrengthMPa: estimateWeldStrength(rodsOf(record, cards), cards.filament.acrossStrengthMPa),
    feedShare: feedOf(record, cards),
  }
}

const ROWS = [
  ['fanAirMPerS', 'fan air', 'm/s', 2],
  ['oozeTimeConstantS', 'ooze time constant', 's', 2],
  ['acrossStrengthMPa', 'strength across layers', 'MPa', 1],
] as const

const SUFFIX = ', own numbers'

/** The cards with the person's own numbers in place of those they came with; their names say so. */
export const withOwnNumbers = (
  { printer, filament }: Pick<TrialCards, 'printer' | 'filament'>,
  { fanAirMPerS, oozeTimeConstantS, acrossStrengthMPa }: OwnNumbers,
): { readonly printer: PrinterCard; readonly filament: FilamentCard } => {
  const held = (value: number, least: number, most: number): number =>
    Number(Math.min(most, Math.max(least, value)).toPrecision(4))
  const named = (name: string, isOwn: boolean): string =>
    isOwn && !name.endsWith(SUFFIX) ? name.slice(0, 200 - SUFFIX.length) + SUFFIX : name
  return {
    printer: {
      ...printer,
      name: named(printer.name, fanAirMPerS !== null || oozeTimeConstantS !== null),
      ...(fanAirMPerS ? { fanAirMPerS: held(fanAirMPerS.value, 0.5, 5) } : {}),
      ...(oozeTimeConstantS ? { oozeTimeConstantS: held(oozeTimeConstantS.value, 0.02, 10) } : {}),
    },
    filament: {
      ...filament,
      name: named(filament.name, acrossStrengthMPa !== null),
      ...(acrossStrengthMPa ? { acrossStrengthMPa: held(acrossStrengthMPa.value, 0.1, 500) } : {}),
    },
  }
}

/** The sentence for the sheet; null where nothing is the person's own. */
export const ownNumbersSentence = (numbers: OwnNumbers): string | null => {
  const told = ROWS.flatMap(([key, label, unit, decimals]) => {
    const one = numbers[key]
    if (!one) return []
    const words = (value: number): string => value.toFixed(decimals)
    return [
      `${label} ${words(one.value)} ${unit} (90 %: ${words(one.low)} to ${words(one.high)}; the card said ${words(one.card)}) from ${one.nReadings} ${one.nReadings === 1 ? 'reading' : 'readings'}`,
    ]
  })
  return told.length > 0 ? `Runs on your own numbers: ${told.join('; ')}.` : null
}
