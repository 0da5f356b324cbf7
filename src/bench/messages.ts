// What the bench and its worker say to each other.

import type { PlanReport } from '../engine/beads/index.ts'
import type { CodeReport, Examination, ExamineSettings } from '../engine/examine/index.ts'
import type { Figure } from '../engine/figure/index.ts'
import type { Issue } from '../engine/kernel/index.ts'
import type { StringReport } from '../engine/melt/index.ts'
import type { FileInput } from './work/work-place.ts'

/** Page to worker: examine these bytes. */
export interface ExamineOrder extends FileInput {
  readonly settings: ExamineSettings
}

/** A quantity with a value for every vertex of a surface. */
export interface SurfaceQuantity {
  /** Stands in the address. */
  readonly id: string
  readonly name: string
  readonly unit: string
  /** NaN where there is none. */
  readonly values: Float32Array
  /** Ends of the scale; values beyond have the colour of the end. */
  readonly from: number
  readonly to: number
  readonly decimals: number
}

/** The figure's surface as it is shown: thinned where a screen could not tell. */
export interface DisplaySurface {
  /** xyz per vertex, mm. */
  readonly positions: Float32Array
  /** Unit normal per vertex, evened out over its triangles. */
  readonly normals: Float32Array
  readonly triangles: Uint32Array
  /** What can be laid over it, each a value for every vertex; empty until something is known. */
  readonly quantities: readonly SurfaceQuantity[]
  /** Farthest the surface reaches from the vertical axis, mm. */
  readonly reachMm: number
}

/** What the sheet shows of a print: beads of all layers in plan, times, surplus, threads. Single precision where it is only drawn. */
export interface PrintFacts {
  /** Beads of layer i are layerStart[i] to layerStart[i+1]-1, points of bead b beadStart[b] to beadStart[b+1]-1. */
  readonly layerStart: Uint32Array
  readonly beadStart: Uint32Array
  /** xy and width per point, mm. */
  readonly points: Float32Array
  readonly pointWidth: Float32Array
  /** Index into BEAD_ROLES, island of the layer stack (-1 unknown), mean width and height, mm, volume, mm3, per bead. */
  readonly role: Uint8Array
  readonly island: Int32Array
  readonly width: Float32Array
  readonly height: Float32Array
  readonly volume: Float32Array
  /** What the planner says of its islands; null for a file that another program has planned. */
  readonly report: PlanReport | null
  /** Seconds per layer, as typed and as it really is. */
  readonly layerTypedS: Float64Array
  readonly layerRealS: Float64Array
  /** Plastic laid and surplus of each layer, mm3; where the surplus stands highest, xy, how high, mm, and index of its cause. */
  readonly laidMm3: Float64Array
  readonly overflowMm3: Float64Array
  readonly surplusAt: Float64Array
  readonly surplusMm: Float64Array
  readonly surplusCause: Uint8Array
  readonly strings: Pick<StringReport, 'nCrossings' | 'layerCrossings' | 'layerThreads' | 'layer' | 'cause' | 'at'>
  /** Shares of the recipe that the beads were planned with. */
  readonly flowShare: number
  readonly infillShare: number
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
  > & {
    readonly figure: FigureFacts
    readonly surface: DisplaySurface
    readonly printed: PrintFacts
    readonly code: CodeReport
  }
>

/** Worker to page, last: all went well, or why not. */
export type ExamineAnswer =
  | { readonly ok: true; readonly notes: readonly Issue[] }
  | { readonly ok: false; readonly issues: readonly Issue[] }
