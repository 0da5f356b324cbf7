// The card of a machine with another nozzle screwed in: what follows from the bore, and what is only from memory.

import type { PrinterCard } from '../recipe/index.ts'

const rounded = (value: number, digits: number): number => Number(value.toFixed(digits))

/** Width of the rim round the bore of a nozzle, mm: 0.3 on each side. From memory. */
const RIM_MM = 0.3
/**
 * The volume rate that the feed keeps up goes down with the bore: with its square here. From memory; one pressure through a bore of a
 * shear-thinning melt would give a power of 4 and more, the warming of the core none at all.
 */
const MELT_POWER = 2

/** The same machine with a nozzle of another bore. @param boreMm 0.1 to 1.2 */
export const withNozzle = (printer: PrinterCard, boreMm: number): PrinterCard => {
  const share = boreMm / printer.nozzleBoreMm
  const words = `${boreMm} mm nozzle`
  return {
    ...printer,
    name: /[\d.]+ mm nozzle/.test(printer.name)
      ? printer.name.replace(/[\d.]+ mm nozzle/, words)
      : `${printer.name}, ${words}`.slice(0, 200),
    nozzleBoreMm: boreMm,
    nozzleLandMm: rounded(Math.max(0.2, boreMm + 2 * RIM_MM, printer.nozzleLandMm * Math.min(1, share)), 2),
    leastBeadWidthMm: rounded(Math.max(0.05, printer.leastBeadWidthMm * share), 3),
    meltLimitMm3PerS: rounded(Math.max(0.5, printer.meltLimitMm3PerS * share ** MELT_POWER), 2),
  }
}
