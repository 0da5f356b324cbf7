// Scales that all pictures share: height up the sheet, magnitudes across it, round steps for rules and bars.

import { scaleLinear } from 'd3-scale'

/** Where the common height axis stands on the sheet. */
export interface HeightFrame {
  /** Heights at the bottom and top of the plot, mm. */
  readonly fromMm: number
  readonly toMm: number
  /** Distance of the plot's top from the picture's top, and its height, px. */
  readonly topPx: number
  readonly plotPx: number
}

/** Pixels down the sheet for a height in mm; the one axis of figure and log. */
export const heightScale = (frame: HeightFrame) =>
  scaleLinear()
    .domain([frame.fromMm, frame.toMm])
    .range([frame.topPx + frame.plotPx, frame.topPx])

/** Largest of 1, 2 or 5 times a power of ten that is not above the value. */
export const roundBelow = (value: number): number => {
  const power = 10 ** Math.floor(Math.log10(value))
  const lead = value / power
  return (lead >= 5 - 1e-9 ? 5 : lead >= 2 - 1e-9 ? 2 : 1) * power
}

/** Preferred numbers of ten steps a decade (ISO 3, R10). */
const PREFERRED = [8, 6.3, 5, 4, 3.15, 2.5, 2, 1.6, 1.25, 1] as const

/** Largest preferred number that is not above the value: scales that change seldom and still use the room. */
export const preferredBelow = (value: number): number => {
  const power = 10 ** Math.floor(Math.log10(value))
  return (PREFERRED.find((step) => step <= value / power + 1e-9) ?? 1) * power
}

/** A number with fixed decimals, or a dash where there is none. */
export const shown = (value: number, decimals: number): string =>
  Number.isFinite(value) ? value.toFixed(decimals) : '\u2013'

/** Decimals that tell a 1-2-5 step apart from its neighbours. */
export const decimalsOfStep = (step: number): number => Math.max(0, -Math.floor(Math.log10(step) + 1e-9))

/** A sentence as it is printed: raised figures, and the sign for degrees. */
export const printedText = (text: string): string =>
  text
    .replace(/\b([mc]?m)2\b/g, '$1²')
    .replace(/\b([mc]?m)3\b/g, '$1³')
    .replace(/ deg C\b/g, ' °C')

/** A unit as it is printed: mm2 and mm3 with raised figures. */
export const printedUnit = (unit: string): string => unit.replace(/([a-z])2$/, '$1²').replace(/([a-z])3$/, '$1³')
