// Where the plastic goes: room against volume, strings, gear passes, melt limit.

/** What makes a surplus. The index is stored where one cause is named. */
export const SURPLUS_CAUSES = [
  'filament diameter',
  'flow share',
  'overlap of infill and shell',
  'short pieces of bead',
  'gap beads',
  'turns',
] as const
export type SurplusCause = (typeof SURPLUS_CAUSES)[number]

/** Columns of a row of MeltBalance.causesMm3: one per SURPLUS_CAUSES. */
export const N_CAUSES = SURPLUS_CAUSES.length

/** How the plan is fed. */
export interface Feed {
  /** Volume pushed out as a share of the nominal, applied to the plan's nominal volumes. */
  readonly flowShare: number
  /** Diameter the machine is told, and by how much the true one is greater, mm. */
  readonly filamentMm: number
  readonly diameterErrorMm: number
}

/** Volume laid against room, layer by layer. Volumes mm3, heights mm. Surplus that finds no way out is carried into the next layer. */
export interface MeltBalance {
  readonly kind: 'melt-balance'
  readonly nLayers: number
  readonly feed: Feed
  /** Plastic laid in the figure (priming loops and props left out), and room between the outlines less rounded flanks. */
  readonly laidMm3: Float64Array
  readonly roomMm3: Float64Array
  /** New surplus of the layer, split by what makes it: nLayers rows of N_CAUSES. */
  readonly overflowMm3: Float64Array
  readonly causesMm3: Float64Array
  /** Where surplus leaves: through the nearest wall, or on top where the figure ends above it. */
  readonly outAtWallMm3: Float64Array
  readonly outOnTopMm3: Float64Array
  /** Surplus still shut in after the layer. */
  readonly shutInMm3: Float64Array
  /** Missing plastic where beads should lie side by side (open infill left out), and the room of those places. */
  readonly gapMm3: Float64Array
  readonly solidRoomMm3: Float64Array
  /** Greatest height of surplus, where, its cause, and where it comes out: xy and xyz per layer. */
  readonly heightMm: Float64Array
  readonly heightAt: Float64Array
  readonly heightCause: Uint8Array
  readonly outAt: Float64Array
  /** Height of surplus at the last point of every bead, mm, length nBeads. */
  readonly endSurplusMm: Float32Array
  readonly totals: {
    readonly laidMm3: number
    readonly roomMm3: number
    readonly overflowMm3: number
    readonly gapMm3: number
    /** Overflow as share of the volume laid, gaps as share of the room that should be solid. */
    readonly overflowShare: number
    readonly gapShare: number
    readonly causesMm3: readonly number[]
  }
}

/** The flow at which neither surplus nor gaps are over their limits. */
export interface SteadyFlow {
  /** Lowest flow share whose gaps, and highest whose surplus, stay within the limits. */
  readonly fromShare: number
  readonly toShare: number
  /** Whether any flow share keeps both limits (fromShare <= toShare). */
  readonly exists: boolean
  /** Middle of the two where it exists, else where the two excesses are equal in share of their limits. */
  readonly bestShare: number
  readonly overflowShareThere: number
  readonly gapShareThere: number
}

/** Why a thread is drawn. */
export const STRING_CAUSES = ['none', 'surplus outside the nozzle', 'pressure inside the nozzle'] as const
export type StringCause = (typeof STRING_CAUSES)[number]

/** Travels over open air. One entry per crossing travel. */
export interface StringReport {
  readonly kind: 'strings'
  readonly nCrossings: number
  /** Bead the travel leads to. */
  readonly bead: Uint32Array
  readonly layer: Uint32Array
  /** Length over open air, mm, and where it begins and ends: x1 y1 x2 y2. */
  readonly airMm: Float64Array
  readonly at: Float64Array
  /** Volume standing at the last bead's end (surplus, and what came out while the nozzle stood there), and volume that pressure pushes out during the travel, mm3. */
  readonly leftBehindMm3: Float64Array
  readonly oozeMm3: Float64Array
  /** Index into STRING_CAUSES. */
  readonly cause: Uint8Array
  /** Per layer: crossings, their length over air, and threads (crossings with a cause). */
  readonly layerCrossings: Uint32Array
  readonly layerAirMm: Float64Array
  readonly layerThreads: Uint32Array
}

/** How often the same filament goes back and forth under the feed gear. */
export interface GearPasses {
  readonly kind: 'gear-passes'
  readonly nRetractions: number
  /** Filament used for the whole plan, mm. */
  readonly filamentMm: number
  /** Most passes of one piece, and where along the filament. */
  readonly most: number
  readonly mostAtMm: number
  /** Length of filament with more passes than allowed. */
  readonly chewedMm: number
  readonly mostAllowed: number
  /** Most passes of any filament drawn back in the layer. */
  readonly layerMost: Uint16Array
  /** The same plan with other retraction lengths: retractionMm, most, chewedMm per row. */
  readonly withOtherLengths: readonly {
    readonly retractionMm: number
    readonly most: number
    readonly chewedMm: number
  }[]
}

/** Volume rates against what can be melted. */
export interface MeltLimit {
  readonly kind: 'melt-limit'
  /** Rate at which the core of the filament just gets warm in the melt zone, and the card's own limit, mm3/s. */
  readonly conductionMm3PerS: number
  readonly cardMm3PerS: number
  /** Rate of every bead, mm3/s, and the time its filament spends in the melt zone, s. */
  readonly rateMm3PerS: Float32Array
  readonly dwellS: Float32Array
  /** Highest rate per layer, and the share of the lower limit it takes. */
  readonly layerMost: Float64Array
  readonly layerShare: Float64Array
  readonly nBeadsOver: number
}
