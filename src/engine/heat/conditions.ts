// What the heat room needs to know of plastic, machine and recipe; cards and a recipe fit it.

import type { StartWasm } from '../kernel/index.ts'

/** Facts of the filament card. */
export interface HeatPlastic {
  readonly densityGPerCm3: number
  readonly conductivityWPerMK: number
  /** Pairs of deg C and J/(kg K), rising, straight between; two close points make a step. */
  readonly heatCapacityJPerKgK: readonly (readonly [number, number])[]
  readonly emissivityShare: number
  readonly softeningFromC: number
  readonly softeningToC: number
  readonly glassTransitionC: number
  readonly reptationS: number
  readonly reptationAtC: number
  readonly shiftC1: number
  readonly shiftC2K: number
  readonly shiftAtC: number
}

/** Facts of the printer card. */
export interface HeatMachine {
  /** Air speed at the part with the fan full. */
  readonly fanAirMPerS: number
  /** Outer diameter of the nozzle's flat end. */
  readonly nozzleLandMm: number
  readonly blockWidthMm: number
  readonly blockHeightMm: number
}

/** Lines of the recipe: used where the plan does not know a temperature. */
export interface HeatSettings {
  readonly nozzleC: number
  readonly bedC: number
}

export interface HeatConditions {
  readonly filament: HeatPlastic
  readonly printer: HeatMachine
  readonly recipe: HeatSettings
}

export interface HeatOptions {
  /** Side of a cell, mm: 0.4 is quick, 0.2 finer. */
  readonly cellMm: number
  /** Steps to a layer near the nozzle; more is finer in time. */
  readonly stepsPerLayer: number
  /** Longest step near the nozzle, s. */
  readonly longestStepS: number
  /** Room temperature, deg C. */
  readonly roomC: number
  /** Contact of the first layer with the bed, W/(m2 K). From memory: 100 to 1000 are put into published models. */
  readonly bedContactWPerM2K: number
  /** Air speed at the part in place of the card's, m/s; NaN for the card's. */
  readonly airMPerS: number
  /** Cooling of walls inside the figure as a share of that outside: still air shut in between warm walls. No source. */
  readonly insideShare: number
  /** The layer model also works out least times and other air speeds; without, temperatures alone. */
  readonly timesToo: boolean
  /** Starts the inner loops as WebAssembly; null for plain ones, which take about four times as long. */
  readonly startWasm: StartWasm | null
  /** Seconds followed after the last bead. */
  readonly afterS: number
}
export const HEAT_DEFAULTS: HeatOptions = Object.freeze({
  cellMm: 0.4,
  stepsPerLayer: 40,
  longestStepS: 0.4,
  roomC: 25,
  bedContactWPerM2K: 500,
  airMPerS: Number.NaN,
  insideShare: 0.1,
  timesToo: true,
  startWasm: null,
  afterS: 60,
})

/** Air speeds over which answers are shown: the range a person's fan may have, m/s. From memory. */
export const AIR_RANGE: readonly number[] = Object.freeze([0.5, 1, 2, 3.5, 5])
