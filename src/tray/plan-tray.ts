// A tray from wishes to plates: figures made ready, placed, ordered, timed, weighed, with what may go wrong and what it costs.

import { breathe, failed, good, type Outcome, type PolygonKit, partOf, type Task } from '../engine/kernel/index.ts'
import { type CalendarRoom, EVENING, shareOut } from './calendar.ts'
import { coolTogether } from './cool-together.ts'
import { powerCost, spoolUse } from './filament-use.ts'
import { mostOnBed, placeTray } from './place-tray.ts'
import { printInTurn, printTogether } from './plate-print.ts'
import { prepareFigure } from './prepare-figure.ts'
import { trayRisk } from './risk.ts'
import type {
  BedRoom,
  Calendar,
  CoolTogether,
  Plate,
  PlatePrint,
  Sitting,
  SpoolUse,
  TrayFigure,
  TrayRisk,
  TrayWish,
} from './types.ts'

/** What a person may set for a tray. */
export interface TrayOptions {
  /** Least distance between outlines, mm, 0.5-100, and what stays free along the edge, mm, 0-50. */
  readonly gapMm: number
  readonly marginMm: number
  /** Chance per hour of losing what is on the bed, 0-1 per hour. */
  readonly hazardPerHour: number
  /** What starting one plate costs, h: cleaning, levelling, watching the first layer. */
  readonly startCostH: number
  readonly pricePerKg: number
  readonly watts: number
  readonly pricePerKWh: number
  /** Grams on each spool at the start. */
  readonly onSpoolG: Readonly<Record<string, number>>
  readonly calendar: CalendarRoom
  /** Work out how many alike keep thin parts cool. */
  readonly coolToo: boolean
}

/** Starting values: gap, hazard, start cost, prices and power are from memory and stand on the sheet as assumptions. */
export const TRAY_DEFAULTS: TrayOptions = Object.freeze({
  gapMm: 5,
  marginMm: 5,
  hazardPerHour: 0.01,
  startCostH: 0.25,
  pricePerKg: 20,
  watts: 120,
  pricePerKWh: 0.3,
  onSpoolG: Object.freeze({}),
  calendar: EVENING,
  coolToo: true,
})

/** One plate with how it prints. */
export interface TrayPlate {
  readonly plate: Plate
  readonly together: PlatePrint
  /** The same pieces on the same bed one after another; null where it cannot be done, with the reason. */
  readonly inTurn: PlatePrint | null
  readonly notInTurn: string | null
  readonly risk: TrayRisk
}

/** Everything about a tray. */
export interface TrayReport {
  readonly kind: 'tray-report'
  readonly bed: BedRoom
  readonly figures: readonly TrayFigure[]
  readonly plates: readonly TrayPlate[]
  /** As many of each figure as one bed takes. */
  readonly mostOfEach: readonly number[]
  /** Pieces that fit on no bed, as numbers of figures. */
  readonly leftOver: readonly number[]
  readonly cool: readonly CoolTogether[]
  readonly spools: readonly SpoolUse[]
  readonly power: { readonly kWh: number; readonly cost: number }
  /** What is printed at each sitting, and when. */
  readonly sittings: readonly Sitting[]
  readonly calendar: Calendar
  readonly assumed: readonly string[]
}

/** Most pieces of one tray. */
const MOST_PIECES = 500

/** Pieces that may share a bed: one spool, one machine, the same layers and temperatures. */
const groupOf = ({ spool, settings }: TrayFigure): string =>
  JSON.stringify([
    spool,
    settings.printer.name,
    settings.filament.name,
    settings.layerHeightMm,
    settings.firstLayerHeightMm,
    settings.recipe.nozzleC,
    settings.recipe.bedC,
  ])

/** Whether the pieces of a plate can be printed one after another on one bed: head clearance and gantry. */
const inTurnOf = (
  figures: readonly TrayFigure[],
  copies: readonly number[],
  bed: BedRoom,
  kit: PolygonKit,
): { print: PlatePrint | null; reason: string | null } => {
  const pieces = copies.flatMap((n, figure) => new Array<number>(n).fill(figure))
  const { printer } = figures[pieces[0]].settings
  const heights = pieces.map((figure) => figures[figure].heightMm).sort((a, b) => a - b)
  const nTooTall = heights.filter((height) => height > printer.gantryHeightMm).length
  if (nTooTall > 1)
    return {
      print: null,
      reason: `${nTooTall} pieces are taller than the ${printer.gantryHeightMm} mm under the gantry; only the last of a plate may be.`,
    }
  const apart: BedRoom = { ...bed, gapMm: Math.max(bed.gapMm, printer.headRadiusMm) }
  const { loads, leftOver } = placeTray(
    figures.map(({ outline }) => outline),
    copies,
    apart,
    kit,
    1,
  )
  if (leftOver.length > 0 || loads.length === 0)
    return {
      print: null,
      reason: `With ${printer.headRadiusMm} mm for the head between them only ${loads[0]?.places.length ?? 0} of ${pieces.length} fit on the bed.`,
    }
  return { print: printInTurn(figures, loads[0].places), reason: null }
}

const checkWishes = (wishes: readonly TrayWish[], options: TrayOptions): Outcome<never> | null => {
  const nPieces = wishes.reduce((sum, { copies }) => sum + copies, 0)
  if (wishes.length === 0) return failed('tray/empty', 'There is nothing to place; name at least one figure.')
  for (const { copies } of wishes)
    if (!(Number.isInteger(copies) && copies >= 1 && copies <= 200))
      return failed('tray/copies', `The copies are ${copies}, expected a whole number from 1 to 200; set each one.`)
  if (nPieces > MOST_PIECES)
    return failed(
      'tray/too-many',
      `There are ${nPieces} pieces, expected at most ${MOST_PIECES}; share them out by hand.`,
    )
  for (const [key, least, most] of [
    ['gapMm', 0.5, 100],
    ['marginMm', 0, 50],
    ['hazardPerHour', 0, 1],
    ['startCostH', 0, 24],
    ['pricePerKg', 0, 10000],
    ['watts', 0, 5000],
    ['pricePerKWh', 0, 100],
  ] as const)
    if (!(options[key] >= least && options[key] <= most))
      return failed(
        'tray/out-of-range',
        `${key} is ${options[key]}, expected ${least} to ${most}; set it within that range.`,
        {
          key,
        },
      )
  return null
}

/** Cuts a plate into sittings that fit into a slot: the pieces in their order, as many at a time as fit. */
const sittingsOf = (
  figures: readonly TrayFigure[],
  { plate, together }: TrayPlate,
  k: number,
  slotMin: number,
): Sitting[] => {
  const whole = { plate: k, pieces: together.order, minutes: together.totalS / 60 }
  if (whole.minutes <= slotMin) return [whole]
  const sittings: Sitting[] = []
  let from = 0
  while (from < together.order.length) {
    let best: Sitting | null = null
    for (let n = 1; from + n <= together.order.length; n++) {
      const pieces = together.order.slice(from, from + n)
      const places = pieces.map((i) => plate.places[i])
      const sitting = { plate: k, pieces, minutes: printTogether(figures, places).totalS / 60 }
      if (sitting.minutes > slotMin && best) break
      best = sitting
      if (sitting.minutes > slotMin) break
    }
    sittings.push(best as Sitting)
    from += (best as Sitting).pieces.length
  }
  return sittings
}

/** "2 keeper, 1 passenger". */
const piecesWords = (figures: readonly TrayFigure[], { plate }: TrayPlate, pieces: readonly number[]): string =>
  figures
    .map(({ name }, figure) => [pieces.filter((i) => plate.places[i].figure === figure).length, name] as const)
    .filter(([n]) => n > 0)
    .map(([n, name]) => `${n} ${name}`)
    .join(', ')

/** Plans a tray. */
export const planTray = async (
  wishes: readonly TrayWish[],
  kit: PolygonKit,
  options: Partial<TrayOptions> = {},
  task?: Task,
): Promise<Outcome<TrayReport>> => {
  const o: TrayOptions = { ...TRAY_DEFAULTS, ...options }
  const trouble = checkWishes(wishes, o)
  if (trouble) return trouble
  const figures: TrayFigure[] = []
  for (let i = 0; i < wishes.length; i++) {
    const step = partOf(task, (0.7 * i) / wishes.length, (0.7 * (i + 1)) / wishes.length)
    const ready = await prepareFigure(wishes[i], kit, step)
    if (!ready.ok) return ready
    figures.push(ready.value)
  }
  task?.onProgress?.(0.7, 'placing the pieces')
  await breathe(task)
  const { printer } = figures[0].settings
  const bed: BedRoom = { xMm: printer.bedXMm, yMm: printer.bedYMm, marginMm: o.marginMm, gapMm: o.gapMm }
  const outlines = figures.map(({ outline }) => outline)
  const mostOfEach = outlines.map((outline) => mostOnBed(outline, bed, kit).places.length)
  const plates: TrayPlate[] = []
  const leftOver: number[] = []
  for (const group of new Set(figures.map(groupOf))) {
    const copies = figures.map((figure) => (groupOf(figure) === group ? figure.copies : 0))
    const { loads, leftOver: left } = placeTray(outlines, copies, bed, kit)
    leftOver.push(...left)
    for (const { places, layout, leastGapMm } of loads) {
      await breathe(task)
      const here = figures.map((_, figure) => places.filter((place) => place.figure === figure).length)
      const together = printTogether(figures, places)
      const { print, reason } = inTurnOf(figures, here, bed, kit)
      const hoursEach = together.printS / 3600 / places.length
      const most = Math.min(...mostOfEach.filter((_, figure) => here[figure] > 0))
      plates.push({
        plate: { places, layout, leastGapMm, spool: figures[places[0].figure].spool },
        together,
        inTurn: print,
        notInTurn: reason,
        risk: trayRisk(places.length, hoursEach, o.hazardPerHour, o.startCostH, Math.max(places.length, most)),
      })
    }
  }
  const cool: CoolTogether[] = []
  if (o.coolToo)
    for (let i = 0; i < figures.length; i++) {
      const step = partOf(task, 0.75 + (0.24 * i) / figures.length, 0.75 + (0.24 * (i + 1)) / figures.length)
      step?.onProgress?.(0, 'asking how many keep thin parts cool')
      cool.push(await coolTogether(figures, i, mostOfEach[i], step))
    }
  const hours = plates.reduce((sum, { together }) => sum + together.totalS, 0) / 3600
  const sittings = plates.flatMap((plate, k) => sittingsOf(figures, plate, k, o.calendar.slotMin))
  task?.onProgress?.(1, 'tray planned')
  return good({
    kind: 'tray-report',
    bed,
    figures,
    plates,
    mostOfEach,
    leftOver,
    cool,
    spools: spoolUse(
      plates.map(({ plate, together }) => ({
        spool: plate.spool,
        massG: together.massG,
        lengthM: together.filamentM,
      })),
      o.onSpoolG,
      o.pricePerKg,
    ),
    power: powerCost(hours, o.watts, o.pricePerKWh),
    sittings,
    calendar: shareOut(
      sittings.map(({ minutes }) => minutes),
      o.calendar,
      sittings.map(({ plate, pieces }) => piecesWords(figures, plates[plate], pieces)),
    ),
    assumed: [
      `Gap ${o.gapMm} mm between outlines, ${o.marginMm} mm free along the edge; outlines are those of all layers seen from above.`,
      `A chance of ${o.hazardPerHour} per hour to lose what is on the bed, ${o.startCostH} h to start a plate: from memory, put in your own.`,
      `Plastic at ${o.pricePerKg} a kg, ${o.watts} W on the mean with the bed on, power at ${o.pricePerKWh} a kWh, in your currency: from memory.`,
      'Priming loops are counted with each piece, though one plate lays them once: a few hundredths of a gram too much.',
      'Heat: the others count as time between layers; that they warm the air is left out.',
    ],
  })
}
