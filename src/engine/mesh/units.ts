// Sizes of the length units in mm.

import type { LengthUnit } from './types.ts'

/** Millimetres in one of each unit. */
export const UNIT_MM: Readonly<Record<LengthUnit, number>> = Object.freeze({
  mm: 1,
  cm: 10,
  m: 1000,
  inch: 25.4,
  foot: 304.8,
  um: 0.001,
})
