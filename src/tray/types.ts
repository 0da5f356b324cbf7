// What the room says about figures that share a bed. Lengths mm, times s or minutes by name, plastic in g and m.

import type { BeadPlan } from '../engine/beads/index.ts'
import type { ExamineSettings } from '../engine/examine/index.ts'
import type { Polygons } from '../engine/kernel/index.ts'
import type { Sculpt } from '../engine/mesh/index.ts'
import type { Timeline } from '../engine/timing/index.ts'

/** What is asked for: a sculpt with its recipe, stance and spool, and how many of it. */
export interface TrayWish {
  readonly sculpt: Sculpt
  /** Recipe, cards, size and stance. */
  readonly settings: ExamineSettings
  /** 1-200. */
  readonly copies: number
  /** Name of the spool (plastic and colour) it is printed from; one bed takes one spool at a time. */
  readonly spool: string
}

/** A figure made ready: its plan outline, its layers' times, its plastic. */
export interface TrayFigure {
  readonly name: string
  readonly copies: number
  readonly spool: string
  readonly settings: ExamineSettings
  /** Union of all layers' outlines seen from above, about the figure's own middle, never less than the true one. */
  readonly outline: Polygons
  readonly heightMm: number
  readonly nLayers: number
  /** Seconds of each layer: laid without slow-down, and as printed alone with the least layer time. */
  readonly layerPureS: Float64Array
  readonly layerAloneS: Float64Array
  /** Radius of a disc with each layer's area, mm. */
  readonly layerRadiusMm: Float64Array
  readonly massG: number
  readonly volumeMm3: number
  readonly plan: BeadPlan
  readonly timeline: Timeline
}

/** Where one piece stands: its figure, turned about its middle by `turn` (radians), middle at x, y on the bed. */
export interface TrayPlace {
  readonly figure: number
  readonly x: number
  readonly y: number
  readonly turn: number
}

/** The bed and the distances that must be kept. */
export interface BedRoom {
  readonly xMm: number
  readonly yMm: number
  /** Kept free along the edge. */
  readonly marginMm: number
  /** Least distance between two outlines. */
  readonly gapMm: number
}

/** One bed load. */
export interface Plate {
  readonly places: readonly TrayPlace[]
  /** How it was laid out, in words. */
  readonly layout: string
  /** Least distance between two outlines, mm; infinite for one piece. */
  readonly leastGapMm: number
  readonly spool: string
}

/** Travels between the pieces of a plate. */
export interface PlateTravels {
  /** Order in which the pieces are visited, as numbers of places; every other layer goes backwards. */
  readonly order: readonly number[]
  /** Way through the middles once, mm. */
  readonly wayMm: number
  /** Travels over open air between pieces, their length in the open, m, and how many of them leave a thread. */
  readonly nCrossings: number
  readonly airM: number
  readonly nThreads: number
  /** Time of these travels with their retractions, s. */
  readonly travelS: number
}

/** How a plate goes when it is printed. */
export interface PlatePrint {
  readonly way: 'together' | 'in turn'
  readonly printS: number
  /** Heating, start, cooling and removal, s: once for the plate. */
  readonly aroundS: number
  readonly totalS: number
  readonly massG: number
  readonly filamentM: number
  /** Seconds of each layer of the shared print; empty in turn. */
  readonly layerS: Float64Array
  readonly travels: PlateTravels
  /** Numbers of places in the order of printing (in turn) or visiting. */
  readonly order: readonly number[]
}

/** What losing a plate costs. */
export interface TrayRisk {
  readonly hazardPerHour: number
  readonly startCostH: number
  readonly nFigures: number
  readonly hoursEach: number
  /** Good figures to be expected: all at once, one after another on one plate until it is lost, each on a plate of its own. */
  readonly together: number
  readonly inTurn: number
  readonly apart: number
  /** Hours for each good figure, all at once and one by one. */
  readonly hoursPerGoodTogether: number
  readonly hoursPerGoodInTurn: number
  /** Number per plate with the fewest hours for each good figure, all at once, and those hours. */
  readonly bestPerPlate: number
  readonly hoursPerGoodAtBest: number
}

/** One spool over all plates. */
export interface SpoolUse {
  readonly spool: string
  readonly massG: number
  readonly lengthM: number
  /** What was on it and what is left, g; null where it was not said. */
  readonly onSpoolG: number | null
  readonly leftG: number | null
  readonly plasticCost: number
}

/** What is printed at one sitting: a plate, or part of one that would be longer than a slot. */
export interface Sitting {
  readonly plate: number
  /** Numbers of its places. */
  readonly pieces: readonly number[]
  readonly minutes: number
}

/** A print in the calendar. `plate` counts sittings. Minutes from the first opening of its slot's day. */
export interface CalendarEntry {
  readonly plate: number
  readonly printer: number
  readonly slot: number
  readonly startMin: number
  readonly endMin: number
}

export interface Calendar {
  readonly entries: readonly CalendarEntry[]
  /** Slots that were used, and plates that fit into none. */
  readonly nSlots: number
  readonly tooLong: readonly number[]
  readonly words: readonly string[]
}

/** The figure's thin places with n of it on the bed. */
export interface CoolStep {
  readonly nTogether: number
  readonly hottestC: number
  readonly softLayers: number
  readonly layersS: number
}

/** How many must be printed together so that thin parts stay cool. */
export interface CoolTogether {
  readonly figure: number
  readonly limitC: number
  /** Thickness up to which a layer counts as thin, mm, and how many layers do. */
  readonly thinMm: number
  readonly nThinLayers: number
  readonly steps: readonly CoolStep[]
  /** Least number tried beyond which no thin layer more stays cool; null when too many stay soft at every number tried. */
  readonly enough: number | null
  readonly words: string
}
