// Plain words for what an examination holds: places, evidence, remedies, settings. The same on paper, on screen and in the terminal.

import type { ExamineSettings } from '../engine/examine/index.ts'
import { type Evidence, type Finding, type Remedy, worthOf } from '../engine/findings/index.ts'

/** A number with about three significant digits and no more decimals than a workshop can use. */
export const numberWords = (value: number): string => {
  if (!Number.isFinite(value)) return '–'
  const size = Math.abs(value)
  const decimals = size >= 100 ? 0 : size >= 10 ? 1 : size >= 0.095 || size === 0 ? 2 : 3
  const text = value.toFixed(decimals)
  const plain = Math.abs(value - Math.round(value)) < 1e-9 ? value.toFixed(0) : text
  return plain.replace(/^-(0(\.0+)?)$/, '$1')
}

/** A number with its unit. */
export const withUnit = (value: number, unit: string): string =>
  unit ? `${numberWords(value)} ${unit}` : numberWords(value)

/** A time as people say it: "45 s", "41 min", "2 h 05 min". */
export const durationWords = (seconds: number): string => {
  if (!Number.isFinite(seconds)) return '–'
  if (seconds < 99.5) return `${Math.round(seconds)} s`
  const minutes = Math.round(seconds / 60)
  if (minutes < 100) return `${minutes} min`
  return `${Math.floor(minutes / 60)} h ${String(minutes % 60).padStart(2, '0')} min`
}

/** Heights of a finding. */
export const heightWords = ({ place }: Finding): string =>
  place.toMm - place.fromMm < 0.05
    ? `at ${place.fromMm.toFixed(1)} mm`
    : `${place.fromMm.toFixed(1)} to ${place.toMm.toFixed(1)} mm`

/** Where a finding stands: heights and layers, layers counted from 1. */
export const placeWords = (finding: Finding): string => {
  const { fromLayer, toLayer } = finding.place
  const layers = toLayer > fromLayer ? `layers ${fromLayer + 1} to ${toLayer + 1}` : `layer ${fromLayer + 1}`
  return `${heightWords(finding)} up, ${layers}`
}

/** The point in plan, from the middle of the base. */
export const pointWords = ({ place }: Finding): string =>
  `x ${place.point[0].toFixed(1)}, y ${place.point[1].toFixed(1)} mm from the middle`

/** One number of the evidence, with its limit. */
export const evidenceWords = ({ label, value, unit, limit }: Evidence): string =>
  `${label} ${withUnit(value, unit)}${limit === undefined ? '' : ` (limit ${withUnit(limit, unit)})`}`

/** What a remedy does, in words; says so when it has not been computed. */
export const effectWords = ({ effect }: Remedy): string => {
  if (effect === null) return 'effect not worked out'
  const change = `${effect.label} ${numberWords(effect.before)} to ${withUnit(effect.after, effect.unit)}`
  const brings = effect.brings.length > 0 ? `; brings ${effect.brings.join(', ')}` : ''
  const where = effect.windowed ? ', computed for a few millimetres of height' : ''
  const time =
    effect.minutes === undefined
      ? ''
      : `, ${withUnit(Math.abs(effect.minutes), 'min')} ${effect.minutes > 0 ? 'more' : 'less'}`
  return `${change}${time}${where}; ${effect.resolves ? 'the finding is gone' : 'the finding stays'}${brings}${worthOf(effect) === 'worsens' ? ': more comes than goes' : ''}`
}

/** How sure a finding is. */
export const certaintyWords = ({ certainty }: Finding): string =>
  `${Math.round(certainty.share * 100)} % sure: ${certainty.cause}`

const degrees = (radians: number): string => numberWords((radians * 180) / Math.PI)

const scaleWords = ({ scale }: ExamineSettings): string => {
  switch (scale.by) {
    case 'scale-height':
      return `${numberWords(scale.soleToEyeMm)} mm from sole to eye line`
    case 'ratio':
      return `1:${numberWords(scale.oneTo)}`
    case 'total-height':
      return `${numberWords(scale.totalMm)} mm in all`
    case 'unit':
      return `as drawn, in ${scale.unit}`
    case 'guess':
      return 'guessed from the file'
  }
}

/** The settings as rows of name and value. */
export const settingRows = (settings: ExamineSettings): readonly (readonly [string, string])[] => {
  const { stance, unit, eyeLineMm } = settings
  const rows: [string, string][] = [
    ['scale', scaleWords(settings)],
    ['unit of the file', unit ?? 'guessed'],
    [
      'stance, turned about x, y, z',
      `${degrees(stance.aboutX)}, ${degrees(stance.aboutY)}, ${degrees(stance.aboutZ)} deg`,
    ],
    ['eye line', eyeLineMm === null ? 'guessed' : `${numberWords(eyeLineMm)} mm`],
    ['layer height', `${numberWords(settings.layerHeightMm)} mm`],
    ['first layer height', `${numberWords(settings.firstLayerHeightMm)} mm`],
    ['bead width', `${numberWords(settings.beadWidthMm)} mm, at least ${numberWords(settings.leastBeadWidthMm)} mm`],
    ['shells', String(settings.nShells)],
  ]
  if (settings.thickenMm !== 0) rows.push(['sculpt thickened by', `${numberWords(settings.thickenMm)} mm`])
  return rows
}

/** What every print of a small figure asks of the person who makes it. */
export const CAUTIONS: readonly string[] = [
  'Nozzle and bed burn: let both cool before you reach in.',
  'Air the room while plastic is melted.',
  'Sand wet and wear a mask: the dust does not belong in lungs.',
  'Small parts come off: not for children under three.',
  'Follow the rules of the place where you print.',
]
