// Lengths in mm, with inches beside them where the visitor asks for it.

import { signal } from '@preact/signals'
import { shown } from '../picture/index.ts'

/** True when inches stand beside. */
export const inches = signal(false)

const MM_PER_INCH = 25.4

/** Inches of a length in mm: three decimals below a tenth of an inch, two above. */
export const inInches = (mm: number): string => {
  const value = mm / MM_PER_INCH
  return `${value.toFixed(Math.abs(value) < 0.1 ? 3 : 2)} in`
}

/** "28.0 mm", or "28.0 mm (1.10 in)". */
export const lengthWords = (mm: number, decimals: number): string =>
  inches.value && Number.isFinite(mm) ? `${shown(mm, decimals)} mm (${inInches(mm)})` : `${shown(mm, decimals)} mm`

/** A whole number with its thousands apart, e.g. "84,974". The browser's own way loads its tables of languages first. */
export const grouped = (n: number): string => String(Math.round(n)).replace(/\B(?=(\d{3})+$)/g, ',')
