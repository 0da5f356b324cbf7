// What a print file says: its moves, the settings on the way, and what was not understood.

import type { Issue } from '../kernel/index.ts'

/** Moves in the order of the file, in machine coordinates. Arcs stand as chords. */
export interface CodeMoves {
  readonly n: number
  /** Where each move ends, mm; it begins where the one before ended (the first at 0, 0, 0). Length n each. */
  readonly x: Float64Array
  readonly y: Float64Array
  readonly z: Float64Array
  /** Filament pushed in the move, mm, flow share included; negative when it is drawn back. */
  readonly filament: Float32Array
  /** Set speed, mm/s (of the filament where nothing else moves), speed share included. */
  readonly speed: Float32Array
  /** Line of the file, from 1. */
  readonly line: Uint32Array
  /** MOVE_RAPID, MOVE_ARC, MOVE_AFTER_HOME. */
  readonly flags: Uint8Array
}
export const MOVE_RAPID = 1
export const MOVE_ARC = 2
/** The move begins at an unknown place: the machine was sent home before. */
export const MOVE_AFTER_HOME = 4

/** Settings that change between moves. */
export const CODE_EVENTS = [
  'fan share',
  'nozzle',
  'bed',
  'acceleration of beads',
  'acceleration of travels',
  'corner speed',
  'speed share',
  'flow share',
  'dwell',
  'home',
  'tool',
] as const
export type CodeEventKind = (typeof CODE_EVENTS)[number]

/** Settings in the order of the file. Units: share 0-1, deg C, mm/s2, mm/s, s. */
export interface CodeEvents {
  readonly n: number
  /** Index into CODE_EVENTS. */
  readonly kind: Uint8Array
  /** The event stands before this move. */
  readonly move: Uint32Array
  readonly line: Uint32Array
  readonly value: Float64Array
}

/** One kind of word that was met and how often. */
export interface WordCount {
  /** E.g. "M73" or "G5". */
  readonly word: string
  readonly count: number
  /** The first lines it stands on, at most 20. */
  readonly lines: readonly number[]
}

/** A word that sets something and was not followed, with what that does. */
export interface NotFollowed extends WordCount {
  readonly effect: string
}

/** An arc as it stood in the file. */
export interface CodeArc {
  readonly firstMove: number
  readonly nMoves: number
  readonly radius: number
  /** Radians, positive counter-clockwise seen from the plane's positive axis. */
  readonly angle: number
  /** Length of the true arc or helix, mm. */
  readonly length: number
}

/** Everything read from one file. */
export interface CodeReading {
  readonly kind: 'code-reading'
  readonly nBytes: number
  readonly nLines: number
  readonly nWords: number
  readonly moves: CodeMoves
  readonly events: CodeEvents
  /** The first arcs of the file, at most 1000, and how many there are. */
  readonly arcs: readonly CodeArc[]
  readonly nArcs: number
  readonly unknown: readonly WordCount[]
  readonly notFollowed: readonly NotFollowed[]
  /** Lines that were not carried out, with line and column, the first 200; and how many there are. */
  readonly malformed: readonly Issue[]
  readonly nMalformed: number
  /** What was decided and why, one sentence each: unit of dwells, scale of fan words, mode of the filament axis. */
  readonly decisions: readonly string[]
}

/** What the caller may settle instead of evidence. */
export interface CodeOptions {
  /** Unit of the P word of a dwell; null lets the file's own numbers decide. */
  readonly dwellUnit: 's' | 'ms' | null
  /** Greatest distance between an arc and its chords, mm. */
  readonly arcErrorMm: number
  /** Speed of rapid moves before any feed was set, mm/s. */
  readonly rapidMmPerS: number
  /** Lines marked with a leading stroke are left out. */
  readonly skipMarked: boolean
  /** Reading stops here, so that a hostile file cannot take all memory. */
  readonly mostMoves: number
}
export const CODE_DEFAULTS: CodeOptions = Object.freeze({
  dwellUnit: null,
  arcErrorMm: 0.005,
  rapidMmPerS: 100,
  skipMarked: false,
  mostMoves: 12_000_000,
})
