// What the page and the worker that draws the solid say to each other.

import type { SurfaceQuantity } from '../messages.ts'
import type { HeightQuantity, SolidLook } from './solid-view.ts'

/** Arrays of a surface that are drawn; quantities come one at a time, when they are laid over it. */
export interface DrawnSurface {
  readonly positions: Float32Array
  readonly normals: Float32Array
  readonly triangles: Uint32Array
  readonly reachMm: number
}

/** A look without what is laid over the figure, which was sent before. */
export type BareLook = Omit<SolidLook, 'paint'>

/** Page to worker, in order: the canvas once, then what changed before each look. */
export type SolidOrder =
  | { readonly what: 'canvas'; readonly canvas: OffscreenCanvas }
  | { readonly what: 'surface'; readonly surface: DrawnSurface }
  | { readonly what: 'paint'; readonly paint: SurfaceQuantity | HeightQuantity | null }
  /** Draws onto the canvas, or, with `asPicture`, as a PNG while the canvas stays as it is. */
  | { readonly what: 'look'; readonly number: number; readonly look: BareLook; readonly asPicture: boolean }

/** Worker to page: a look is drawn, or it cannot draw at all. */
export type SolidAnswer =
  | { readonly what: 'drawn'; readonly number: number; readonly picture: Blob | null }
  | { readonly what: 'failed' }
