// The figure: the sculpt at its printed size, standing on z = 0 in mm.

import type { LengthUnit, MassProperties, Mesh, MeshHealth } from '../mesh/index.ts'

/** How the size is to be found. */
export type ScaleWish =
  | { readonly by: 'scale-height'; readonly soleToEyeMm: number }
  | { readonly by: 'ratio'; readonly oneTo: number }
  | { readonly by: 'total-height'; readonly totalMm: number }
  | { readonly by: 'unit'; readonly unit: LengthUnit }
  | { readonly by: 'guess' }

/** Rotation that puts the figure on the bed: turn about x, then about y, then about z, radians. */
export interface Stance {
  readonly kind: 'stance'
  readonly aboutX: number
  readonly aboutY: number
  readonly aboutZ: number
}

/** A number with the reason it was chosen. */
export interface Reasoned {
  readonly value: number
  /** "set" when a person gave it, "stated" when the file says so, "guessed" otherwise. */
  readonly basis: 'set' | 'stated' | 'guessed'
  /** One sentence to show. */
  readonly reason: string
}

/** A flat base under the soles. */
export interface Base {
  /** Height of the base's top above the bed, mm. */
  readonly topMm: number
  /** Radius of a circle with the base's area, mm. */
  readonly radiusMm: number
  readonly shape: 'round' | 'other'
  readonly reason: string
}

export interface Figure {
  readonly kind: 'figure'
  readonly name: string
  /** In mm, lowest point at z = 0, middle of the base (or of the footprint) at x = y = 0. */
  readonly mesh: Mesh
  readonly health: MeshHealth
  readonly mass: MassProperties
  /** Millimetres per file unit, with the reason. */
  readonly scale: Reasoned
  readonly stance: Stance
  /** Height of the eye line above the bed, mm. */
  readonly eyeLine: Reasoned
  /** Height of the soles above the bed, mm (top of the base, or 0). */
  readonly soleMm: number
  /** Null when none was recognised. */
  readonly base: Base | null
  /** Lowest and highest corner, mm. */
  readonly min: readonly [number, number, number]
  readonly max: readonly [number, number, number]
  /** What one to one this would be for a person 1.75 m tall. */
  readonly oneTo: number
}
