// From options and recipe to the settings of an examination; every value is checked for form and range, and named when it is wrong.

import {
  checkSettings,
  EXAMINE_DEFAULTS,
  EXAMINE_RANGES,
  type ExamineSettings,
  withRecipe,
} from '../engine/examine/index.ts'
import type { ScaleWish, Stance } from '../engine/figure/index.ts'
import type { LengthUnit } from '../engine/mesh/index.ts'
import { CommandTrouble } from './exit-codes.ts'
import { readForm } from './read-form.ts'

/** Files that say what is printed on what, with what. */
export interface CardOptions {
  readonly recipe?: string
  readonly printer?: string
  readonly filament?: string
}

/** Options of "examine" that make up its settings, as text from the command line. */
export interface SettingOptions extends CardOptions {
  readonly scaleHeight?: string
  readonly ratio?: string
  readonly totalHeight?: string
  readonly unit?: string
  readonly eyeLine?: string
  readonly stance?: string
  readonly layerHeight?: string
  readonly firstLayerHeight?: string
  readonly beadWidth?: string
  readonly leastBeadWidth?: string
  readonly shells?: string
  readonly together?: string
}

/** Numbers that are taken. */
export interface Range {
  readonly least: number
  readonly most: number
  readonly whole?: boolean
}

/** Sizes of figures, mm, and ratios of scale: those the engine takes. */
const HEIGHT: Range = { least: 3, most: 500 }
const RATIO: Range = { least: 1, most: 1000 }

export const numberIn = (flag: string, text: string, { least, most, whole }: Range, unit: string): number => {
  const value = text.trim() === '' ? Number.NaN : Number(text)
  if (!Number.isFinite(value) || value < least || value > most || (whole && !Number.isInteger(value)))
    throw new CommandTrouble(
      `${flag} takes a ${whole ? 'whole number' : 'number'} from ${least} to ${most}${unit ? ` ${unit}` : ''}, not "${text}"`,
    )
  return value
}

const scaleFrom = ({ scaleHeight, ratio, totalHeight }: SettingOptions): ScaleWish | undefined => {
  const wishes: ScaleWish[] = []
  if (scaleHeight !== undefined)
    wishes.push({ by: 'scale-height', soleToEyeMm: numberIn('--scale-height', scaleHeight, HEIGHT, 'mm') })
  if (ratio !== undefined) wishes.push({ by: 'ratio', oneTo: numberIn('--ratio', ratio.replace(/^1:/, ''), RATIO, '') })
  if (totalHeight !== undefined)
    wishes.push({ by: 'total-height', totalMm: numberIn('--total-height', totalHeight, HEIGHT, 'mm') })
  if (wishes.length > 1)
    throw new CommandTrouble('--scale-height, --ratio and --total-height all set the size: give one of them')
  return wishes[0]
}

const stanceFrom = (text: string | undefined): Stance | undefined => {
  if (text === undefined) return undefined
  const turns = text.split(',')
  if (turns.length !== 3) throw new CommandTrouble(`--stance takes three turns in degrees as "x,y,z", not "${text}"`)
  const [aboutX, aboutY, aboutZ] = turns.map(
    (turn) => (numberIn('--stance', turn, { least: -360, most: 360 }, 'degrees') * Math.PI) / 180,
  )
  return { kind: 'stance', aboutX, aboutY, aboutZ }
}

type BeadSettings = Pick<
  ExamineSettings,
  'layerHeightMm' | 'firstLayerHeightMm' | 'beadWidthMm' | 'leastBeadWidthMm' | 'nShells'
>

/** The starting settings with recipe and cards from files in place of the starting ones. */
export const settingsOfCards = ({ recipe, printer, filament }: CardOptions): ExamineSettings => {
  const cards = {
    ...EXAMINE_DEFAULTS,
    ...(printer === undefined ? {} : { printer: readForm('printer', printer) }),
    ...(filament === undefined ? {} : { filament: readForm('filament', filament) }),
  }
  return recipe === undefined ? cards : withRecipe(cards, readForm('recipe', recipe))
}

const BEAD_OPTIONS = [
  ['--layer-height', 'layerHeight', 'layerHeightMm'],
  ['--first-layer-height', 'firstLayerHeight', 'firstLayerHeightMm'],
  ['--bead-width', 'beadWidth', 'beadWidthMm'],
  ['--least-bead-width', 'leastBeadWidth', 'leastBeadWidthMm'],
  ['--shells', 'shells', 'nShells'],
] as const

const beadsFrom = (options: SettingOptions, recipe: BeadSettings): BeadSettings => {
  const beads = Object.fromEntries(
    BEAD_OPTIONS.map(([flag, option, key]) => {
      const text = options[option]
      const { from, to, unit } = EXAMINE_RANGES[key]
      const range = { least: from, most: to, whole: key === 'nShells' }
      return [key, text === undefined ? recipe[key] : numberIn(flag, text, range, unit)]
    }),
  ) as unknown as BeadSettings
  // A narrower bead asked for by hand takes its least width along, unless that was given too.
  const least =
    options.leastBeadWidth === undefined ? Math.min(beads.leastBeadWidthMm, beads.beadWidthMm) : beads.leastBeadWidthMm
  if (least > beads.beadWidthMm)
    throw new CommandTrouble(`--least-bead-width ${least} mm is above the bead width of ${beads.beadWidthMm} mm`)
  return { ...beads, leastBeadWidthMm: least }
}

/** Settings from options, recipe and defaults, in this order of weight. Throws CommandTrouble for what is wrong. */
export const settingsFrom = (options: SettingOptions): ExamineSettings => {
  const cards = settingsOfCards(options)
  const settings: ExamineSettings = {
    ...cards,
    ...beadsFrom(options, cards),
    scale: scaleFrom(options) ?? EXAMINE_DEFAULTS.scale,
    unit: (options.unit as LengthUnit | undefined) ?? EXAMINE_DEFAULTS.unit,
    stance: stanceFrom(options.stance) ?? EXAMINE_DEFAULTS.stance,
    nTogether:
      options.together === undefined
        ? EXAMINE_DEFAULTS.nTogether
        : numberIn('--together', options.together, { least: 1, most: 50, whole: true }, ''),
    eyeLineMm:
      options.eyeLine === undefined
        ? EXAMINE_DEFAULTS.eyeLineMm
        : numberIn('--eye-line', options.eyeLine, { least: 1, most: 500 }, 'mm'),
  }
  const issues = checkSettings(settings)
  if (issues.length > 0) throw new CommandTrouble(issues.map(({ message }) => message).join('\n'))
  return settings
}

/** Settings for a built-in figure, whose unit and eye line are known: what was not given is not guessed. */
export const settingsForCrew = (
  settings: ExamineSettings,
  options: SettingOptions,
  soleToEyeMm: number,
): ExamineSettings => ({
  ...settings,
  unit: settings.unit ?? 'mm',
  eyeLineMm: settings.eyeLineMm ?? soleToEyeMm,
  scale: scaleFrom(options) ?? { by: 'scale-height', soleToEyeMm },
})
