// The verb "tray": several figures and copies on beds, planned in a worker, told in words or as data, drawn in plan.

import { plain } from '../guide/index.ts'
import { traySvg } from '../picture/index.ts'
import {
  type ClassRoom,
  EVENING,
  outlineAt,
  TRAY_DEFAULTS,
  type TrayAnswer,
  type TrayFacts,
  type TrayOptions,
  type TrayOrder,
} from '../tray/index.ts'
import { CommandTrouble, EXIT, type ExitCode } from './exit-codes.ts'
import type { Surroundings } from './places.ts'
import { numberIn } from './settings-from-options.ts'
import { sha256 } from './sha256.ts'
import { inkOfResult } from './terminal.ts'
import { trayText } from './tray-text.ts'
import {
  checkTargets,
  hand,
  inputOf,
  refuse,
  runInWorker,
  settingsOfWord,
  type WorkerVerbOptions,
} from './worker-verb.ts'
import { writeWhole } from './write-file.ts'

export interface TrayVerbOptions extends WorkerVerbOptions {
  readonly copies?: string
  readonly scaleHeight?: string
  readonly stance?: string
  readonly recipe?: string
  readonly printer?: string
  readonly filament?: string
  readonly spool?: string
  readonly left?: string
  readonly gap?: string
  readonly margin?: string
  readonly hazard?: string
  readonly startCost?: string
  readonly price?: string
  readonly watts?: string
  readonly tariff?: string
  readonly printers?: string
  readonly evening?: string
  readonly class?: string
  readonly quick?: boolean
}

/** One value for all files, or one for each. */
const eachOf = (flag: string, text: string | undefined, n: number, between: string): (string | undefined)[] => {
  if (text === undefined) return new Array<undefined>(n).fill(undefined)
  const parts = text.split(between).map((part) => part.trim())
  if (parts.length === 1) return new Array<string>(n).fill(parts[0])
  if (parts.length === n) return parts
  throw new CommandTrouble(`${flag} takes one value or ${n} (one for each file), not ${parts.length}`)
}

const numberOr = (
  flag: string,
  text: string | undefined,
  otherwise: number,
  least: number,
  most: number,
  unit = '',
): number => (text === undefined ? otherwise : numberIn(flag, text, { least, most }, unit))

const onSpools = (text: string | undefined): Record<string, number> => {
  if (text === undefined) return {}
  return Object.fromEntries(
    text.split(',').map((part) => {
      const cut = part.lastIndexOf('=')
      const name = part.slice(0, cut).trim()
      if (cut <= 0 || name === '') throw new CommandTrouble(`--left takes NAME=GRAMS,... not "${text}"`)
      return [name, numberIn('--left', part.slice(cut + 1), { least: 0, most: 20000 }, 'g')]
    }),
  )
}

const classFrom = (text: string | undefined): ClassRoom | null => {
  if (text === undefined) return null
  const parts = text.split(',')
  if (parts.length !== 4) throw new CommandTrouble(`--class takes pupils,machines,lessons,minutes, not "${text}"`)
  const [nPupils, nPrinters, nLessons] = parts
    .slice(0, 3)
    .map((part) => numberIn('--class', part, { least: 1, most: 200, whole: true }, ''))
  return { nPupils, nPrinters, nLessons, lessonMin: numberIn('--class', parts[3], { least: 10, most: 600 }, 'min') }
}

const optionsFrom = (options: TrayVerbOptions): Partial<TrayOptions> => ({
  gapMm: numberOr('--gap', options.gap, TRAY_DEFAULTS.gapMm, 0.5, 100, 'mm'),
  marginMm: numberOr('--margin', options.margin, TRAY_DEFAULTS.marginMm, 0, 50, 'mm'),
  hazardPerHour: numberOr('--hazard', options.hazard, TRAY_DEFAULTS.hazardPerHour, 0, 1),
  startCostH: numberOr('--start-cost', options.startCost, TRAY_DEFAULTS.startCostH, 0, 24, 'h'),
  pricePerKg: numberOr('--price', options.price, TRAY_DEFAULTS.pricePerKg, 0, 10000),
  watts: numberOr('--watts', options.watts, TRAY_DEFAULTS.watts, 0, 5000, 'W'),
  pricePerKWh: numberOr('--tariff', options.tariff, TRAY_DEFAULTS.pricePerKWh, 0, 100),
  onSpoolG: onSpools(options.left),
  calendar: {
    ...EVENING,
    nPrinters:
      options.printers === undefined
        ? EVENING.nPrinters
        : numberIn('--printers', options.printers, { least: 1, most: 50, whole: true }, ''),
    slotMin: 60 * numberOr('--evening', options.evening, EVENING.slotMin / 60, 0.25, 24, 'h'),
  },
  coolToo: !options.quick,
})

/** Where the picture of a plate goes: FILE for the first, FILE-2 for the second. */
const platePath = (path: string, plate: number): string =>
  plate === 0 ? path : path.replace(/(\.[^./\\]*)?$/, (ending) => `-${plate + 1}${ending}`)

const platePicture = (tray: TrayFacts, k: number): string => {
  const { plate, together } = tray.plates[k]
  const { bed } = tray
  const pieces = plate.places.map((place) => ({
    ...outlineAt(tray.figures[place.figure].outline, place),
    x: place.x,
    y: place.y,
    name: tray.figures[place.figure].name,
  }))
  const label = `Plate ${k + 1} in plan: ${plate.places.length} pieces on a bed of ${bed.xMm} x ${bed.yMm} mm, numbered in the order of printing`
  const { xMm, yMm, marginMm } = bed
  return traySvg({ bedXMm: xMm, bedYMm: yMm, marginMm, pieces, order: together.order, way: true, label }, 640)
}

/** Runs the verb. */
export const trayVerb = async (
  words: readonly string[],
  options: TrayVerbOptions,
  around: Surroundings,
): Promise<ExitCode> => {
  const n = words.length
  if (words.filter((word) => word === '-').length > 1)
    throw new CommandTrouble('standard input can be read only once: give - only once')
  const copies = eachOf('--copies', options.copies, n, ',').map((text) =>
    text === undefined ? 1 : numberIn('--copies', text, { least: 1, most: 200, whole: true }, ''),
  )
  const stances = eachOf('--stance', options.stance, n, ';')
  const spools = eachOf('--spool', options.spool, n, ',')
  const recipes = eachOf('--recipe', options.recipe, n, ',')
  const trayOptions = optionsFrom(options)
  const classRoom = classFrom(options.class)
  const { scaleHeight, printer, filament } = options
  const settings = words.map((word, i) =>
    settingsOfWord(word, { scaleHeight, printer, filament, recipe: recipes[i], stance: stances[i] }, around),
  )
  checkTargets([options.out, options.svg], options.force ?? false)
  const inputs = []
  for (const word of words) inputs.push(await inputOf(word, around))
  const request: TrayOrder = {
    figures: inputs.map(({ bytes, name }, i) => ({
      bytes,
      name,
      settings: settings[i],
      copies: copies[i],
      spool: spools[i] ?? settings[i].filament.name,
    })),
    options: trayOptions,
    classRoom,
  }
  const outcome = await runInWorker<TrayAnswer>(
    'tray',
    request,
    n === 1 ? inputs[0].name : `${n} figures`,
    options,
    around,
  )
  if (!outcome.ok) return refuse(words.join(', '), outcome.issues, options)
  const { tray, classCase } = outcome.value
  const ink = inkOfResult(options)
  const source = {
    toolVersion: around.version,
    files: inputs.map(({ name, bytes }) => ({ name, sha256: sha256(bytes) })),
    settingsSha256: sha256(JSON.stringify([settings, copies, trayOptions])),
  }
  const json = () =>
    `${JSON.stringify({ form: 'fettle-tray', version: 1, source, report: plain({ ...tray, classCase }) })}\n`
  await hand(options.json ? json() : trayText(tray, classCase, ink), options)
  if (options.svg !== undefined)
    for (let k = 0; k < tray.plates.length; k++)
      await writeWhole(platePath(options.svg, k), platePicture(tray, k), options.force ?? false)
  return EXIT.fine
}
