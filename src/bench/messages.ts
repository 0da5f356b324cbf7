// What the bench and its worker say to each other.

import type { Examination, ExamineSettings } from '../engine/examine/index.ts'
import type { Figure } from '../engine/figure/index.ts'
import type { Issue } from '../engine/kernel/index.ts'

/** Page to worker: examine these bytes. */
export interface ExamineOrder {
  /** Same key, same bytes: the worker then knows the file again. */
  readonly key: string
  readonly name: string
  readonly bytes: Uint8Array
  readonly settings: ExamineSettings
}

/** The figure's surface as it is shown: thinned where a screen could not tell. */
export interface DisplaySurface {
  /** xyz per vertex, mm. */
  readonly positions: Float32Array
  /** Unit normal per vertex, evened out over its triangles. */
  readonly normals: Float32Array
  readonly triangles: Uint32Array
  /** Local thickness, mm, per vertex; NaN where buried; empty until it is known. */
  readonly thickness: Float32Array
  /** Farthest the surface reaches from the vertical axis, mm. */
  readonly reachMm: number
}

/** Figure without its mesh, which is shown through DisplaySurface. */
export type FigureFacts = Omit<Figure, 'mesh'>

/** The parts of an examination that the sheet draws, in the order in which they come. */
export type SheetParts = Partial<
  Pick<
    Examination,
    | 'settings'
    | 'summary'
    | 'layers'
    | 'relations'
    | 'outlineThickness'
    | 'shellFit'
    | 'vanishing'
    | 'tracks'
    | 'findings'
  > & { readonly figure: FigureFacts; readonly surface: DisplaySurface }
>

/** Worker to page, last: all went well, or why not. */
export type ExamineAnswer =
  | { readonly ok: true; readonly notes: readonly Issue[] }
  | { readonly ok: false; readonly issues: readonly Issue[] }
