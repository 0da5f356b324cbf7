// Millimetres per file unit: from what was wished, what the file states, or what the size suggests.

import { type LengthUnit, UNIT_MM } from '../mesh/index.ts'
import type { UprightMeasure } from './measure-upright.ts'
import type { Reasoned, ScaleWish } from './types.ts'

/** A person that a ratio refers to, mm. */
export const PERSON_MM = 1750
/** Scale height that stands in when no size can be told, mm. */
const USUAL_EYE_MM = 28
/** Whole heights at which a file is taken for a figure in its printed size, mm. */
const FIGURE_MM = [15, 80] as const
/** Heights that are believed when the file itself states its unit, mm. */
const STATED_MM = [10, 300] as const
/** Heights of a person modelled in life size, mm. */
const PERSON_RANGE_MM = [1400, 2200] as const
/** Units in the order in which they are tried; no figure is modelled in feet. */
const TRIED: readonly LengthUnit[] = ['mm', 'inch', 'cm', 'm', 'um']

const isWithin = (value: number, [low, high]: readonly [number, number]): boolean => value >= low && value <= high
const shown = (mm: number): string => (mm >= 100 ? mm.toFixed(0) : mm.toFixed(1))
const NAMES: Readonly<Record<LengthUnit, string>> = {
  mm: 'millimetres',
  cm: 'centimetres',
  m: 'metres',
  inch: 'inches',
  foot: 'feet',
  um: 'micrometres',
}

/** What decides the scale. */
export interface ScaleQuestion {
  readonly wish: ScaleWish
  /** Unit set by a person, null for none. */
  readonly unit: LengthUnit | null
  /** Unit stated by the file, null for none. */
  readonly statedUnit: LengthUnit | null
  readonly measure: UprightMeasure
  /** Sole to eye line in file units. */
  readonly eye: number
}

/** The scale alone: what the file's unit is does not leave this step. */
const plain = ({ value, basis, reason }: Reasoned): Reasoned => ({ value, basis, reason })

/** The unit of a file and why: set, stated, or guessed from the height. */
const unitOf = ({ unit, statedUnit, measure }: ScaleQuestion): Reasoned & { unit: LengthUnit | null } => {
  const { height, crown, sole } = measure
  const inUnit = (u: LengthUnit): string => `${shown(height * UNIT_MM[u])} mm tall`
  if (unit)
    return {
      unit,
      value: UNIT_MM[unit],
      basis: 'set',
      reason: `The file was said to be in ${NAMES[unit]}: ${inUnit(unit)}.`,
    }
  if (statedUnit) {
    return {
      unit: statedUnit,
      value: UNIT_MM[statedUnit],
      basis: 'stated',
      reason: `The file states ${NAMES[statedUnit]}: ${inUnit(statedUnit)}.`,
    }
  }
  const person = crown.height - sole
  for (const u of ['mm', 'cm', 'm'] as const) {
    if (!isWithin(person * UNIT_MM[u], PERSON_RANGE_MM)) continue
    return {
      unit: u,
      value: UNIT_MM[u],
      basis: 'guessed',
      reason: `In ${NAMES[u]} it would be a person in life size (${shown(person * UNIT_MM[u])} mm).`,
    }
  }
  for (const u of TRIED) {
    if (!isWithin(height * UNIT_MM[u], FIGURE_MM)) continue
    return {
      unit: u,
      value: UNIT_MM[u],
      basis: 'guessed',
      reason: `The file states no unit; in ${NAMES[u]} it is ${inUnit(u)}, the size of a figure.`,
    }
  }
  return {
    unit: null,
    value: Number.NaN,
    basis: 'guessed',
    reason: 'The file states no unit, and none gives the size of a figure.',
  }
}

/** Millimetres per file unit, with the reason. */
export const chooseScale = (question: ScaleQuestion): Reasoned => {
  const { wish, measure, eye } = question
  const { height, crown, sole } = measure
  if (wish.by === 'scale-height') {
    return {
      value: wish.soleToEyeMm / eye,
      basis: 'set',
      reason: `The figure is scaled to ${Math.round(100 * wish.soleToEyeMm) / 100} mm from sole to eye line.`,
    }
  }
  if (wish.by === 'total-height') {
    return {
      value: wish.totalMm / height,
      basis: 'set',
      reason: `The figure is scaled to ${Math.round(100 * wish.totalMm) / 100} mm in all, base and headgear included.`,
    }
  }
  if (wish.by === 'unit') {
    return { value: UNIT_MM[wish.unit], basis: 'set', reason: `Taken in ${NAMES[wish.unit]}, as set.` }
  }
  const unit = unitOf(question)
  if (wish.by === 'ratio') {
    const person = (crown.height - sole) * unit.value
    if (isWithin(person, PERSON_RANGE_MM)) {
      return { value: unit.value / wish.oneTo, basis: 'set', reason: `Scaled 1:${wish.oneTo}. ${unit.reason}` }
    }
    return {
      value: PERSON_MM / wish.oneTo / (crown.height - sole),
      basis: 'set',
      reason: `Scaled so that it is 1:${wish.oneTo} of a person ${PERSON_MM} mm tall, since the file is not in life size.`,
    }
  }
  if (unit.basis === 'set') return plain(unit)
  const sizeMm = height * unit.value
  if (unit.basis === 'stated' ? isWithin(sizeMm, STATED_MM) : isWithin(sizeMm, FIGURE_MM)) return plain(unit)
  return {
    value: USUAL_EYE_MM / eye,
    basis: 'guessed',
    reason: `${unit.reason} It was scaled to ${USUAL_EYE_MM} mm from sole to eye line; set the scale height if that is wrong.`,
  }
}
